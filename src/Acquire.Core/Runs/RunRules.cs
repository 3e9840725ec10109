using Acquire.Core.Methods;

namespace Acquire.Core.Runs;

/// <summary>The rules of one run along a ramp: the method as it applies, without variants, and where on the ramp each rule holds.</summary>
public sealed class RunRules
{
    /// <summary>Resolves the method for an expected flash point.</summary>
    /// <param name="method">A ramp procedure.</param>
    /// <param name="expectedFlashCelsius">What the analyst expects, °C.</param>
    /// <exception cref="ArgumentException">The method has no ramp; whoever accepted the order let it through, see <see cref="RunAim.Check"/>.</exception>
    public RunRules(MethodDefinition method, double expectedFlashCelsius)
    {
        ArgumentNullException.ThrowIfNull(method);
        Method = method.For(expectedFlashCelsius);
        (Ramp, Applications) = RampOf(Method);
        StartAtMostCelsius = expectedFlashCelsius - Ramp.StartAtLeastBelowExpectedCelsius;
        EaseCelsius = expectedFlashCelsius - Ramp.EaseBelowExpectedCelsius;
        ControlledFromCelsius = expectedFlashCelsius - Ramp.ControlledFromBelowExpectedCelsius;
        FirstApplicationCelsius = expectedFlashCelsius - Applications.FirstBelowExpectedCelsius;
        FirstAtLatestCelsius = expectedFlashCelsius - Applications.FirstAtLatestBelowExpectedCelsius;
        SeriesFromCelsius = expectedFlashCelsius - (Applications.FirstAtEarliestBelowExpectedCelsius ?? (2 * Applications.FirstBelowExpectedCelsius));
    }

    private RunRules(MethodDefinition method, double startCelsius, double reachedCelsius)
    {
        var unknown = method.UnknownFlash ?? throw new ArgumentException($"The method {method.Id} says nothing about an unknown flash point.", nameof(method));
        (Method, Ramp, Applications) = ScoutingRules.Of(method, unknown, startCelsius, reachedCelsius);
        IsScouting = true;
        StartAtMostCelsius = ScoutingRules.WarmestStart(unknown);
        StartAtLeastCelsius = unknown.StartCelsius?.From;
        FirstApplicationCelsius = startCelsius + unknown.FirstAtLeastAboveStartCelsius;
        SeriesFromCelsius = Math.Min(startCelsius + ScoutingRules.HeatedCelsius, FirstApplicationCelsius);
    }

    /// <summary>The method without variants.</summary>
    public MethodDefinition Method { get; }

    /// <summary>How fast to heat, and where.</summary>
    public RampRules Ramp { get; }

    /// <summary>When and how long to apply the test flame.</summary>
    public ApplicationRules Applications { get; }

    /// <summary>Whether nobody knows what to expect, so that the schedule hangs on the start.</summary>
    public bool IsScouting { get; }

    /// <summary>The specimen starts at or below this, °C.</summary>
    public double StartAtMostCelsius { get; }

    /// <summary>It starts at or above this, °C; null where the method does not say.</summary>
    public double? StartAtLeastCelsius { get; }

    /// <summary>Fast heating ends, and heat is eased, here, °C; null where there is no fast heating.</summary>
    public double? EaseCelsius { get; }

    /// <summary>From here on the controlled band must hold, °C; null where it holds as soon as the rate has settled.</summary>
    public double? ControlledFromCelsius { get; }

    /// <summary>Temperature of the first scheduled application, °C.</summary>
    public double FirstApplicationCelsius { get; }

    /// <summary>The first application must be made no later than this, °C; null in a scouting run, which may begin as far above its start as one likes.</summary>
    public double? FirstAtLatestCelsius { get; }

    /// <summary>A pass of the flame below this temperature is no part of the series, °C.</summary>
    public double SeriesFromCelsius { get; }

    /// <summary>What counts as a fire point.</summary>
    public FirePointRules FirePoint => Method.FirePoint;

    /// <summary>Limits for judging the record.</summary>
    public JudgementRules Judgement => Method.Judgement;

    /// <summary>Correction to standard pressure.</summary>
    public BarometricRule Barometric => Method.Barometric;

    /// <summary>The rules of a scouting run, of which nobody knows what to expect.</summary>
    /// <param name="method">A ramp procedure that says what to do then.</param>
    /// <param name="startCelsius">Where the specimen started, °C.</param>
    /// <param name="reachedCelsius">Temperature at which it has not flashed, °C: what holds for lower expected flash points no longer does.</param>
    /// <exception cref="ArgumentException">The method has no ramp, or says nothing about an unknown flash point.</exception>
    public static RunRules Scouting(MethodDefinition method, double startCelsius, double reachedCelsius)
    {
        ArgumentNullException.ThrowIfNull(method);
        return new(method, startCelsius, reachedCelsius);
    }

    /// <summary>The ramp parts of a method.</summary>
    internal static (RampRules Ramp, ApplicationRules Applications) RampOf(MethodDefinition method) => method is { Ramp: { } ramp, Applications: { } applications }
        ? (ramp, applications)
        : throw new ArgumentException($"The method {method.Id} has no ramp that a run could follow.", nameof(method));
}
