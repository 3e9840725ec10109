using Acquire.Core.Methods;
using Acquire.Core.Runs;

namespace Acquire.Core.Control;

/// <summary>How fast the specimen is to be heated, and where. Built once from a method and the flash point expected.</summary>
/// <param name="Segments">The stretches, in order and without holes; at least one.</param>
public sealed record HeatingPlan(IReadOnlyList<HeatingSegment> Segments)
{
    // The middle of the band would waste time where the method allows a wide one: stay this far below its upper end instead, °C/min.
    private const double BelowFastest = 2;

    // The metal holds heat that still passes into the test portion when power is cut: easing wants this much room, °C.
    private const double RoomCelsius = 48;

    // The rate has arrived after this part of the easing; the rest is for the feedback to take out what the model got wrong.
    private const double ArrivedAfter = 0.5;

    /// <summary>Where the controlled band begins, °C; -∞ where one rate holds from the start.</summary>
    public double ControlledFromCelsius => Segments[^1].FromCelsius;

    /// <summary>The slowest rate of the plan, °C/min.</summary>
    public double SlowestCelsiusPerMinute => Segments.Min(segment => segment.TargetCelsiusPerMinute);

    /// <summary>
    /// The plan of a method. Start heating keeps 2 °C/min below the upper end of its band, or its middle where that is faster; controlled heating keeps the middle.
    /// Heat is eased where the method says; up to 48 °C before the controlled band, where the band of start heating allows the controlled rate too.
    /// A method with one rate has one segment that keeps its middle.
    /// </summary>
    /// <param name="method">The method; its figures have been checked.</param>
    /// <param name="expectedFlashCelsius">Expected flash point, °C.</param>
    /// <exception cref="ArgumentOutOfRangeException">The expected flash point is not finite.</exception>
    /// <exception cref="ArgumentException">The method has no ramp.</exception>
    public static HeatingPlan For(MethodDefinition method, double expectedFlashCelsius)
    {
        ArgumentNullException.ThrowIfNull(method);
        if (!double.IsFinite(expectedFlashCelsius))
        {
            throw new ArgumentOutOfRangeException(nameof(expectedFlashCelsius), "The expected flash point must be finite.");
        }

        var ramp = new RunRules(method, expectedFlashCelsius).Ramp;
        var controlled = ramp.ControlledHeatingCelsiusPerMinute;
        var target = (controlled.From + controlled.To) / 2;
        if (ramp is not { FastHeatingCelsiusPerMinute: { } fast, ControlledFromBelowExpectedCelsius: { } controlledFrom, EaseBelowExpectedCelsius: { } ease })
        {
            return new([new(HeatingPart.Controlled, double.NegativeInfinity, double.PositiveInfinity, target, controlled)]);
        }

        var first = Math.Max(fast.To - BelowFastest, (fast.From + fast.To) / 2);
        var holding = expectedFlashCelsius - controlledFrom;
        var easing = expectedFlashCelsius - ease;
        easing = fast.From <= target ? Math.Min(easing, holding - RoomCelsius) : easing;
        var segments = new List<HeatingSegment> { new(HeatingPart.Start, double.NegativeInfinity, easing, first, fast) };
        if (holding > easing)
        {
            segments.Add(new(HeatingPart.Easing, easing, holding, target, null));
        }

        segments.Add(new(HeatingPart.Controlled, holding, double.PositiveInfinity, target, controlled));
        return new HeatingPlan(segments);
    }

    /// <summary>The plan of a run: that of its method for what is expected; of a scouting run one rate from the start, the middle of the band that the method sets where nothing is known.</summary>
    /// <param name="plan">The run's plan; its method has a ramp.</param>
    /// <exception cref="ArgumentException">The method has no ramp, or nothing says what to heat for.</exception>
    public static HeatingPlan For(RunPlan plan)
    {
        ArgumentNullException.ThrowIfNull(plan);
        if (!plan.Scouting)
        {
            return For(plan.Method, plan.ExpectedFlashCelsius ?? throw new ArgumentException("Nothing is expected, and the run is no scouting run.", nameof(plan)));
        }

        var band = plan.Rules.Ramp.ControlledHeatingCelsiusPerMinute;
        return new([new(HeatingPart.Controlled, double.NegativeInfinity, double.PositiveInfinity, (band.From + band.To) / 2, band)]);
    }

    /// <summary>The rate to aim at where the thermometer reads this, °C/min.</summary>
    /// <param name="celsius">Reading, °C; finite.</param>
    public double TargetAt(double celsius)
    {
        var at = 0;
        while (at < Segments.Count - 1 && celsius >= Segments[at].ToCelsius)
        {
            at++;
        }

        var here = Segments[at];
        if (here.Part != HeatingPart.Easing || at == 0)
        {
            return here.TargetCelsiusPerMinute;
        }

        var along = Math.Min(1, (celsius - here.FromCelsius) / ((here.ToCelsius - here.FromCelsius) * ArrivedAfter));
        var smooth = along * along * (3 - (2 * along));
        var before = Segments[at - 1].TargetCelsiusPerMinute;
        return before + ((here.TargetCelsiusPerMinute - before) * smooth);
    }
}
