using Acquire.Core.Methods;

namespace Acquire.Core.Runs;

/// <summary>What a method's rules become where nobody knows what to expect.</summary>
internal static class ScoutingRules
{
    /// <summary>A specimen this much above its start has been heated: a pass before that is a check for something volatile. °C; common practice, no source.</summary>
    public const double HeatedCelsius = 1;

    /// <summary>The warmest start that the method allows, °C.</summary>
    public static double WarmestStart(UnknownFlashRules unknown) => unknown.StartCelsius?.To ?? unknown.StartAtMostCelsius ?? double.PositiveInfinity;

    /// <summary>Method, ramp and applications of the scouting run.</summary>
    /// <param name="method">The method with its variants.</param>
    /// <param name="unknown">What it says about an unknown flash point.</param>
    /// <param name="startCelsius">Where the specimen started, °C: the heating is that of this end of the scope, from start to end.</param>
    /// <param name="reachedCelsius">Where it has not flashed, °C: its flash point lies above, so the applications are those for higher ones.</param>
    public static (MethodDefinition Method, RampRules Ramp, ApplicationRules Applications) Of(MethodDefinition method, UnknownFlashRules unknown, double startCelsius, double reachedCelsius)
    {
        var (begun, reached) = (method.For(startCelsius), method.For(reachedCelsius));
        var ramp = new RampRules
        {
            StartAtLeastBelowExpectedCelsius = 0,
            ControlledHeatingCelsiusPerMinute = unknown.HeatingCelsiusPerMinute ?? RunRules.RampOf(begun).Ramp.ControlledHeatingCelsiusPerMinute,
        };
        var usual = RunRules.RampOf(reached).Applications;
        var applications = usual with { IntervalCelsius = unknown.IntervalCelsius ?? usual.IntervalCelsius, FlashWindowAboveFirstCelsius = null };
        var judgement = begun.Judgement with
        {
            IntervalToleranceCelsius = reached.Judgement.IntervalToleranceCelsius,
            SettleCelsius = unknown.SettleCelsius ?? begun.Judgement.SettleCelsius,
        };
        var whole = reached with
        {
            Ramp = ramp,
            Applications = applications,
            Judgement = judgement,

            // What is sought is where to begin the next run. Nobody heats on to a fire for that.
            FirePoint = method.FirePoint with { Determined = false },
        };
        return (whole, ramp, applications);
    }
}
