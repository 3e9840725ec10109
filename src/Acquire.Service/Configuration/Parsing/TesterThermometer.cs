using Acquire.Core.Thermometry;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads a tester's thermometer and holds it against the channels of its source.</summary>
internal static class TesterThermometer
{
    private const string Key = "thermometer";

    /// <summary>Reads the thermometer. Call after the source was read.</summary>
    public static ThermometerChain Read(ConfigObject tester, ThermometerWiring wiring)
    {
        var before = tester.MistakesSoFar;
        var chain = ThermometerChain.Plain with { Unit = wiring.Unit ?? ThermometerUnit.Celsius };
        if (tester.Section(Key, optional: true) is { } section)
        {
            section.Forbid("unit", $"the unit is that of the temperature channel{(wiring.UnitPath.Length > 0 ? $", {wiring.UnitPath}" : "")}; allowed: leave it out here");
            chain = ThermometerSection.Read(section, chain.Unit);
        }

        // What was read with a mistake is not what the file says, and would only bring mistakes that nobody made.
        if (wiring.Unit is not null && tester.MistakesSoFar == before)
        {
            Check(tester, chain, wiring);
        }

        return chain;
    }

    private static void Check(ConfigObject tester, ThermometerChain chain, ThermometerWiring wiring)
    {
        foreach (var error in ThermometerRules.Check(chain, wiring.JunctionPath is not null, tester.PathOf(Key)))
        {
            var path = error.Path switch
            {
                "unit" => wiring.UnitPath,
                "junction" => wiring.JunctionPath!,
                _ => tester.PathOf($"{Key}.{error.Path}"),
            };
            tester.RefuseAt(path, error.Message);
        }
    }
}
