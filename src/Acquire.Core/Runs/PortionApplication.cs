using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>Judges the one application that each portion gets.</summary>
internal static class PortionApplication
{
    // A person's key comes some seconds after the flame was over the cup: the shutter's 2.5 s and as much again; common practice, no source.
    private const double KeySeconds = 5;

    // A shutter that is worked by hand closes half a second later or sooner: common practice, no source.
    private const double ShutterToleranceSeconds = 0.5;

    // The temperature of a moment is that of readings around it.
    public static double? ReadAt(in Bench bench, double seconds) =>
        bench.State.Ramp.SecondsToNearest(seconds) <= bench.Judgement.GapSeconds ? bench.State.Ramp.ReadAt(seconds) : null;

    /// <summary>The flame was applied, and what it did has been seen.</summary>
    /// <param name="bench">The run.</param>
    /// <param name="at">When the flame came, s.</param>
    /// <param name="celsius">Temperature then, °C; null where it is not known.</param>
    /// <param name="seconds">How long it stayed, s; null where no signal tells.</param>
    /// <param name="outcome">What it did.</param>
    /// <param name="evidence">How we know.</param>
    /// <param name="significance">Strength of the evidence, standard deviations.</param>
    /// <param name="leastTold">Where the detector could not have shown a flash: the smallest that it would have told, its unit, infinite for none; null where it could.</param>
    public static void Made(in Bench bench, double at, double? celsius, double? seconds, PortionOutcome outcome, ApplicationEvidence evidence, double significance, double? leastTold = null)
    {
        var (s, portions) = (bench.State, bench.State.Portions);
        s.Guide.Prompt = null;
        var made = new Application(s.Series.Made.Count + 1, at, celsius ?? s.TemperatureCelsius ?? 0, seconds, evidence, outcome == PortionOutcome.Flash, significance);
        s.Series.Made.Add(made);
        bench.Outputs.Add(new ApplicationStarted(at, made.Number, made.TemperatureCelsius, evidence));
        bench.Outputs.Add(new ApplicationJudged(s.AtSeconds, made));
        if (portions.Portion is not { } portion || at < portion.AtSeconds)
        {
            bench.Find(FindingCodes.ApplicationWithoutPortion, FindingWeight.Note, at, celsius, null, null,
                "The flame was applied to a cup of which nobody had said that a fresh test portion is in it. It does not count: say when a portion is charged.");
        }
        else if (portion.Tested)
        {
            var flashed = outcome == PortionOutcome.Flash;
            bench.Find(FindingCodes.PortionAppliedTwice, flashed ? FindingWeight.Doubtful : FindingWeight.Note, at, celsius, portion.Number, null,
                $"The flame was applied to portion {portion.Number} once more{(flashed ? ", and it flashed" : "")}. Only the first application counts: each needs a fresh test portion.{(flashed ? " Repeat the test at this temperature." : "")}");
        }
        else
        {
            Judge(bench, portion, at, celsius);
            PortionSight.Judge(bench, portion, celsius, outcome, significance, leastTold);
            PortionCharging.Ask(bench, portion, portion.Spoiled is null);
            Blemishes(bench, portion, at, celsius, seconds);
            portion.Tested = true;
            PortionSupervision.Tested(bench, new(portion.Number, portions.SetCelsius!.Value, portion.Millilitres, portion.AtSeconds, at, celsius, outcome, portion.Spoiled));
        }
    }

    // What makes a test say nothing.
    private static void Judge(in Bench bench, PortionInCup portion, double at, double? celsius)
    {
        var rules = bench.Portions.Rules;
        var set = bench.State.Portions.SetCelsius!.Value;
        var waited = at - portion.AtSeconds;
        if (waited < portion.WaitSeconds - rules.WaitToleranceSeconds)
        {
            PortionCharging.Spoil(bench, portion, FindingCodes.WaitTooShort, celsius, waited, portion.WaitSeconds,
                $"The flame was applied {Text.Seconds(waited)} after portion {portion.Number} was charged; the method waits {Text.Seconds(portion.WaitSeconds)}.");
        }

        if (celsius is not { } read)
        {
            PortionCharging.Spoil(bench, portion, FindingCodes.PointNotRead, null, bench.State.Ramp.SecondsToNearest(at) is var away && double.IsFinite(away) ? away : null, bench.Judgement.GapSeconds,
                $"The thermometer was not read when the flame was applied to portion {portion.Number}.");
        }
        else if (Math.Abs(read - set) > rules.BlockToleranceCelsius)
        {
            PortionCharging.Spoil(bench, portion, FindingCodes.BlockOffSet, read, read, set,
                $"The flame was applied to portion {portion.Number} at {Text.Celsius(read)}; {Text.Celsius(set)} was set, to be kept to within {Text.Celsius(rules.BlockToleranceCelsius)}.");
        }
    }

    // What leaves a test standing and a question open.
    private static void Blemishes(in Bench bench, PortionInCup portion, double at, double? celsius, double? seconds)
    {
        var rules = bench.Portions.Rules;
        var waited = at - portion.AtSeconds;
        if (portion.Spoiled is not null)
        {
            return;
        }

        if (waited > portion.WaitSeconds + rules.WaitToleranceSeconds + (bench.Plan.IsGuided ? KeySeconds : 0))
        {
            bench.Find(FindingCodes.WaitTooLong, FindingWeight.Doubtful, at, celsius, waited, portion.WaitSeconds,
                $"The flame was applied {Text.Seconds(waited)} after portion {portion.Number} was charged; the method waits {Text.Seconds(portion.WaitSeconds)}.");
        }

        if (portion.WorstOffCelsius > rules.BlockToleranceCelsius)
        {
            bench.Find(FindingCodes.BlockNotSteady, FindingWeight.Doubtful, at, celsius, portion.WorstOffCelsius, rules.BlockToleranceCelsius,
                $"While portion {portion.Number} waited the block was {Text.Celsius(portion.WorstOffCelsius)} off the set temperature (limit {Text.Celsius(rules.BlockToleranceCelsius)}).");
        }

        if (seconds > rules.ShutterSeconds + ShutterToleranceSeconds)
        {
            bench.Find(FindingCodes.ApplicationTooLong, FindingWeight.Doubtful, at, celsius, seconds, rules.ShutterSeconds,
                $"Opening, applying and closing took {Text.Seconds(seconds.Value)}; the method wants it within {Text.Seconds(rules.ShutterSeconds)}.");
        }
    }
}
