using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>A flash before the series of applications could tell anything: at its first application, or at a pass far below it.</summary>
internal static class EarlyFlash
{
    private const string BathHeated = "take a cooled fresh test portion to a bath-heated closed cup";

    /// <summary>States it.</summary>
    /// <param name="bench">The run.</param>
    /// <param name="onset">When it flashed, s.</param>
    /// <param name="celsius">Temperature then, °C.</param>
    /// <param name="number">Number of the application that flashed, from 1.</param>
    public static void State(in Bench bench, double onset, double celsius, int number)
    {
        var series = bench.State.Series;
        var lower = series.Made.FindLast(made => made.Number < number && made is { Flash: false, Unlit: false })?.TemperatureCelsius;
        if (series.FirstNumber == 0)
        {
            BelowSeries(bench, onset, celsius, lower);
            return;
        }

        var where = lower is { } none ? $"lies between {Text.Celsius(none)}, where a pass before the series did not flash, and this temperature" : "lies at or below it";
        var wanted = bench.Rules.Applications.FirstBelowExpectedCelsius;
        var scope = bench.Plan.Method.FlashScopeCelsius.From;
        var advice = celsius < scope
            ? $"That is below the {Text.Celsius(scope)} from which the method is written. Heat off, flame out, cup covered; {BathHeated}."
            : $"Discard the test portion and apply the flame to a fresh one from at least {Text.Celsius(wanted)} below this temperature.";
        bench.Find(FindingCodes.FlashAtFirstApplication, FindingWeight.Invalid, onset, celsius, celsius, null,
            $"The first application of the series flashed at {Text.Celsius(celsius)}: the flash point {where}. {advice}");
    }

    // A check for vapour is made to find just this.
    private static void BelowSeries(in Bench bench, double onset, double celsius, double? lower)
    {
        var first = bench.Rules.FirstApplicationCelsius;
        var before = lower is { } none ? $"; the pass at {Text.Celsius(none)} did not" : "";
        bench.Find(FindingCodes.FlashBelowSeries, FindingWeight.Invalid, onset, celsius, celsius, first,
            $"The specimen flashed at {Text.Celsius(celsius)}, {Text.Celsius(first - celsius)} below the first application{before}: something volatile is in it, light ends or another product. Heat off, flame out, cup covered. Make sure of the specimen, then {BathHeated}, or begin with a fresh one that is expected to flash near this temperature.");
    }
}
