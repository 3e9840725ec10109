using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>Whether what the detector saw at a fresh test portion may be taken as an answer.</summary>
internal static class PortionSight
{
    private const string LookYourself = "See that the cup is clean and that the detector looks into it, and repeat with a fresh test portion; where it goes on like this, make the run with a person who looks at the cup.";

    /// <summary>Finds what speaks against it.</summary>
    /// <param name="bench">The run.</param>
    /// <param name="portion">The portion.</param>
    /// <param name="celsius">Temperature at the application, °C; null where it is not known.</param>
    /// <param name="outcome">What was seen.</param>
    /// <param name="significance">Strength of the strongest sudden part, standard deviations.</param>
    /// <param name="leastTold">Smallest flash that would have been told where that is too large, detector's unit; null where it is not.</param>
    public static void Judge(in Bench bench, PortionInCup portion, double? celsius, PortionOutcome outcome, double significance, double? leastTold)
    {
        // One answer for one specification: a portion that may have flashed speaks against one that did not.
        var decides = !bench.Portions.IsPointSearch;
        if (outcome == PortionOutcome.Uncertain)
        {
            PortionCharging.Spoil(bench, portion, FindingCodes.FlashUncertain, celsius, significance, null,
                $"What the detector saw at portion {portion.Number} is neither clearly a flash nor clearly none: something sudden, {Text.Number(significance)} standard deviations high, no higher than the pass of the test flame itself. {LookYourself}",
                decides ? FindingWeight.Doubtful : FindingWeight.Note);
        }
        else if (leastTold is { } least)
        {
            NotTellable(bench, portion, celsius, double.IsFinite(least) ? least : null, decides);
        }
    }

    // In a search the portions that flash show what a flash is in this detector, so the test stands and a question is left open.
    private static void NotTellable(in Bench bench, PortionInCup portion, double? celsius, double? least, bool decides)
    {
        var text = $"No flash was seen at portion {portion.Number}, but the detector could not have shown one{(least is { } height ? $" below {Text.Number(height)} of its units" : "")}: the pass of the test flame hardly stands out of its noise, or readings are missing. {LookYourself}";
        if (decides)
        {
            PortionCharging.Spoil(bench, portion, FindingCodes.FlashNotTellable, celsius, least, null, text);
        }
        else if (portion.Spoiled is null)
        {
            bench.Find(FindingCodes.FlashNotTellable, FindingWeight.Doubtful, bench.State.AtSeconds, celsius, least, null, text);
        }
    }
}
