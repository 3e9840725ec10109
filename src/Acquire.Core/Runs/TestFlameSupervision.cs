using Acquire.Core.Alarms;
using Acquire.Core.Detection;
using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>Follows whether the test flame burns: an application with a flame that is out shows nothing and does not count.</summary>
internal static class TestFlameSupervision
{
    // A flame that flickers beside its sensor is not out, s: common practice, no source.
    private const double FlickerSeconds = 1;

    // So long before an application it can still be lit again, s.
    private const double AheadSeconds = 60;

    // A person's key comes some seconds after the flame was over the cup.
    private const double KeySeconds = 5;

    /// <summary>Raises and clears the alarm: it stands while the flame is out and an application is near.</summary>
    public static void Look(in Bench bench)
    {
        var s = bench.State;
        var lit = s.Told.Lit;
        if (lit.Newest == true)
        {
            bench.Clear(AlarmCodes.TestFlameOut);
        }
        else if (lit.Newest == false && s.AtSeconds - lit.Since >= FlickerSeconds && s.BurningSince is null && IsNear(bench))
        {
            bench.Alarm(AlarmCodes.TestFlameOut, "The test flame is out and an application is near. Light it; an application without it does not count.");
        }
    }

    /// <summary>Whether the flame is out by what is known now.</summary>
    public static bool IsOut(in Bench bench) => bench.State.Told.Lit.Newest == false;

    /// <summary>Whether an application was made with a flame that was out all the time.</summary>
    /// <param name="bench">The run.</param>
    /// <param name="evidence">How the application is known. What a detector saw of the flame was not out.</param>
    /// <param name="fromSeconds">When the flame came over the cup, s.</param>
    /// <param name="toSeconds">When it was taken away, s.</param>
    public static bool WasOut(in Bench bench, ApplicationEvidence evidence, double fromSeconds, double toSeconds) => evidence switch
    {
        ApplicationEvidence.DetectorSignature => false,
        ApplicationEvidence.Person => bench.State.Told.Lit.Always(false, fromSeconds - KeySeconds, toSeconds),
        _ => bench.State.Told.Lit.Always(false, fromSeconds, toSeconds),
    };

    /// <summary>States that an application did not count.</summary>
    /// <param name="bench">The run.</param>
    /// <param name="seconds">When, s.</param>
    /// <param name="celsius">As read then, °C.</param>
    /// <param name="leftNothing">Whether it is known from the detector alone, which saw the applications before.</param>
    public static void Void(in Bench bench, double seconds, double celsius, bool leftNothing = false) =>
        bench.Find(FindingCodes.TestFlameOut, FindingWeight.Note, seconds, celsius, null, null, leftNothing
            ? $"The detector saw nothing of the test flame at the application at {Text.Celsius(celsius)}, although it saw those before clearly: the flame was out, or did not reach the cup. No flash could show, and the application does not count. Look at the flame and apply it at once."
            : $"The test flame was out at the application at {Text.Celsius(celsius)}: no flash could show, and the application does not count. Light the flame and apply it at once.");

    /// <summary>States that something flashed although the flame was told to be out.</summary>
    public static void Contradicted(in Bench bench, double seconds, double celsius) =>
        bench.Find(FindingCodes.TestFlameOut, FindingWeight.Doubtful, seconds, celsius, null, null,
            $"At {Text.Celsius(celsius)} a flash was seen although the test flame was told to be out. Look at the curve, and check the sensor of the test flame.");

    private static bool IsNear(in Bench bench)
    {
        var s = bench.State;
        if (!(bench.Searching || s.Phase == RunPhase.FastHeating) || s.TemperatureCelsius is not { } celsius)
        {
            return false;
        }

        var slope = s.Ramp.Fit(RampEstimator.WarningWindowSeconds, double.NegativeInfinity)?.SlopePerSecond ?? 0;
        return celsius + (AheadSeconds * Math.Max(0, slope)) >= s.Series.NextDueCelsius;
    }
}
