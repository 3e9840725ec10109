using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>Follows what is special about a run of which nobody knows what to expect: where it starts, when its series begins, and what the next run may expect.</summary>
internal static class ScoutingSupervision
{
    // A reading this little beyond the start that the method allows is that start, °C.
    private const double StartToleranceCelsius = 0.5;

    /// <summary>A reading has come: has the specimen been heated, so that its start is known?</summary>
    public static void Follow(in Bench bench)
    {
        var s = bench.State;

        // A mean over seconds: longer ones would lag behind a specimen that is heated at once.
        if (!bench.Plan.Scouting || s.Scouting.Begun || s.Ramp.ReadAt(s.Ramp.NewestSeconds) is not { } celsius)
        {
            return;
        }

        s.Scouting.Start(celsius);
        s.Series.NextDueCelsius = bench.Rules.FirstApplicationCelsius;
        if (celsius - s.Scouting.StartCelsius >= ScoutingRules.HeatedCelsius)
        {
            s.Scouting.Begin();
            Start(bench, s.Scouting.StartCelsius!.Value);
        }
    }

    private static void Start(in Bench bench, double start)
    {
        var (s, rules) = (bench.State, bench.Rules);
        if (start > rules.StartAtMostCelsius + StartToleranceCelsius)
        {
            bench.Find(FindingCodes.StartTooWarm, FindingWeight.Doubtful, s.AtSeconds, start, start, rules.StartAtMostCelsius,
                $"The scouting run started at {Text.Celsius(start)}; where the flash point is not known the method starts at or below {Text.Celsius(rules.StartAtMostCelsius)}. Heat off; cool a fresh test portion and begin again.");
        }
        else if (start < rules.StartAtLeastCelsius - StartToleranceCelsius)
        {
            bench.Find(FindingCodes.StartTooCold, FindingWeight.Note, s.AtSeconds, start, start, rules.StartAtLeastCelsius,
                $"The scouting run started at {Text.Celsius(start)}, below the {Text.Celsius(rules.StartAtLeastCelsius!.Value)} that the method begins at. Look for condensed water in the cup.");
        }
    }

    /// <summary>The first application of the series: was it far enough above the start?</summary>
    public static void First(in Bench bench, double seconds, double celsius)
    {
        var rules = bench.Rules;
        var wanted = bench.Plan.Method.UnknownFlash!.FirstAtLeastAboveStartCelsius;
        var above = celsius - (rules.FirstApplicationCelsius - wanted);
        if (above < wanted - rules.Judgement.IntervalToleranceCelsius)
        {
            bench.Find(FindingCodes.FirstApplicationEarly, FindingWeight.Doubtful, seconds, celsius, above, wanted,
                $"The first application came {Text.Celsius(above)} above the start; where the flash point is not known the method wants at least {Text.Celsius(wanted)}. Wait for the temperature that is due.");
        }
    }

    /// <summary>The flash came before the specimen was heated.</summary>
    public static void BeforeHeating(in Bench bench, double onset, double celsius) =>
        bench.Find(FindingCodes.FlashBeforeHeating, FindingWeight.Invalid, onset, celsius, celsius, null,
            $"The specimen flashed at {Text.Celsius(celsius)}, before it was heated: it is volatile, or something volatile is in it. Do not heat it. Heat off, flame out, cup covered; take a cooled fresh test portion to a bath-heated closed cup.");

    /// <summary>States what the run is and what the next one may expect.</summary>
    /// <returns>How the next run begins; null where this one does not say.</returns>
    public static NextRun? Finish(in Bench bench)
    {
        if (!bench.Plan.Scouting)
        {
            return null;
        }

        var s = bench.State;
        var spoiled = s.Findings.Exists(finding => finding.Weight == FindingWeight.Invalid);
        var next = !spoiled && s.Flash?.Celsius is { } flash ? NextRun.After(bench.Plan.Method, flash) : null;
        var text = next is not null ? $"its flash at {Text.Celsius(s.Flash!.Celsius!.Value)} is approximate and is not reported. Next: {next.Text}."
            : spoiled ? "nothing is reported. It does not say what to expect; see the finding that made it invalid."
            : $"its flash is approximate and is not reported. It lies outside the scope of {bench.Plan.Method.Id}: choose a method that covers it, and take a fresh test portion.";
        bench.Find(FindingCodes.ScoutingRun, FindingWeight.Note, s.AtSeconds, s.Flash?.Celsius, next?.ExpectedFlashCelsius, null, $"A scouting run: {text}");
        return next;
    }
}
