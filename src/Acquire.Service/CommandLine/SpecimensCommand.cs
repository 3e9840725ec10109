using System.CommandLine;
using System.Globalization;
using Acquire.Simulator;

namespace Acquire.Service.CommandLine;

/// <summary>`acquire simulate specimens`: the known liquids, each with its computed flash point beside a published one.</summary>
internal static class SpecimensCommand
{
    private const double StandardKilopascals = 101.325;

    public static Command Build()
    {
        var command = new Command("specimens", "List the liquids that --specimen knows, with computed and published closed-cup flash points, and the pairs of unlike liquids that may be mixed.");
        command.SetAction(parsed =>
        {
            Write(parsed.InvocationConfiguration.Output);
            return ExitCode.Done;
        });
        return command;
    }

    private static void Write(TextWriter output)
    {
        output.WriteLine($"Closed-cup flash points at {StandardKilopascals.ToString(CultureInfo.InvariantCulture)} kPa, °C. Limits are of flames that climb, vol % at 25 °C.");
        output.WriteLine($"Vapour pressure: {Liquids.VapourPressureSource}");
        output.WriteLine();
        output.WriteLine($"{"liquid",-14}{"CAS",-11}{"limit",6}{"computed",10}{"published",11}  source of the flash point; of the limit");
        foreach (var liquid in Liquids.All)
        {
            output.WriteLine(Line(liquid));
        }

        output.WriteLine();
        output.WriteLine("Liquids of one kind (hydrocarbons; alcohols) mix ideally. Unlike ones, by NRTL with DECHEMA parameters:");
        foreach (var pair in NrtlPairs.All)
        {
            output.WriteLine($"  {pair.First} + {pair.Second} ({pair.Source})");
        }
    }

    private static string Line(Liquid liquid)
    {
        if (liquid.Limit is not { } limit)
        {
            return $"{liquid.Name,-14}{liquid.Cas,-11}{"-",6}{"-",10}{"-",11}  does not burn";
        }

        var computed = Specimen.Pure(liquid).ClosedFlashCelsius(StandardKilopascals);
        var published = liquid.PublishedFlash?.Celsius.ToString("0.0", CultureInfo.InvariantCulture) ?? "-";
        return string.Create(CultureInfo.InvariantCulture, $"{liquid.Name,-14}{liquid.Cas,-11}{100 * limit.MoleFractionAt25,6:0.00}{computed,10:0.0}{published,11}  {liquid.PublishedFlash?.Source ?? "none known"}; {limit.Source}");
    }
}
