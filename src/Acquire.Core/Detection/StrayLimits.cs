namespace Acquire.Core.Detection;

/// <summary>Heights above the level at rest that an ignition without a flame has to exceed, in the detector's unit; infinite where it is not looked for.</summary>
/// <param name="Scale">Scatter at rest of one reading, or of short means where that is larger.</param>
/// <param name="Sudden">For a sudden rise that keeps its height for <see cref="StrayWatch.KeptSeconds"/>.</param>
/// <param name="Lasting">For one that lasts longer than any pass.</param>
/// <param name="Sure">For one that is stated in the findings as well.</param>
internal readonly record struct StrayLimits(double Scale, double Sudden, double Lasting, double Sure)
{
    /// <summary>Whether what exceeds <see cref="Lasting"/> has to flicker too.</summary>
    public bool Flickers { get; init; }

    /// <summary>What does not exceed this is no ignition, whatever else is known: a level, not a height above the one at rest; negative infinity where there is no such limit.</summary>
    public double LeastLevel { get; init; } = double.NegativeInfinity;

    // Between two passes that a flame signal tells of nothing but an ignition, or a change of light, lifts the detector.
    private const double BetweenPasses = 5;

    // Before the second pass nothing is known of how the flame looks on its way to the cup.
    private const double BeforeSecondPass = 15;

    // Without a flame signal any rise may be the flame; it must be higher than the passes, or last longer.
    private const double WithoutSignal = 10;
    private const double LongerThanPass = 8;

    // While a person handles the cup, hands, lids and lamps lift the detector.
    private const double WhileHandled = 15;
    private const double AbovePass = 1.5;
    private const double UnseenPass = 40;
    private const double ShareOfRange = 0.5;

    /// <summary>Limits that hold now.</summary>
    /// <param name="scale">Scatter at rest.</param>
    /// <param name="range">Range that the detector has shown in the run.</param>
    /// <param name="memory">What passes have taught.</param>
    /// <param name="knowsApproach">Whether the flame has been over the cup often enough to know its approach.</param>
    /// <param name="ask">What the run says.</param>
    public static StrayLimits Of(double scale, double range, PassMemory memory, bool knowsApproach, in WatchAsk ask)
    {
        var none = double.PositiveInfinity;
        if (ask.Freely)
        {
            return new(scale, none, none, none);
        }

        var seen = memory.AnyVisible;
        var sure = seen ? double.MaxNative(WithoutSignal * scale, AbovePass * memory.Peak) : double.MaxNative(UnseenPass * scale, ShareOfRange * range);
        if (ask.Over)
        {
            // Light that is let in, or a hand that stays, does not flicker as a flame does.
            var atOnce = ask.Handled || !ask.Signalled ? double.MaxNative(WhileHandled * scale, sure) : BetweenPasses * scale;
            return new(scale, seen || ask.Signalled ? atOnce : none, WhileHandled * scale, none) { Flickers = true };
        }

        if (!ask.Signalled)
        {
            return new(scale, seen ? sure : none, ask.Handled ? none : LongerThanPass * scale, seen && !ask.Handled ? sure : none);
        }

        if (ask.Handled)
        {
            return new(scale, double.MaxNative(WhileHandled * scale, sure), none, none);
        }

        return knowsApproach
            ? new(scale, BetweenPasses * scale, none, sure)
            : new(scale, BeforeSecondPass * scale, LongerThanPass * scale, sure);
    }
}
