namespace Acquire.Simulator;

/// <summary>Makes of what happens over the cup what a detector of one kind sees of it.</summary>
internal sealed class SeenPulses(DetectorView view, SimulatorRandom random)
{
    // The place of the plain detector, which the pulses of a script are drawn for.
    private static readonly double PlainPlaceSeconds = new DetectorView().PlaceSeconds;

    /// <summary>The pulses as seen, in order of their beginning.</summary>
    public Pulse[] Of(IReadOnlyList<Pulse> pulses) => [.. pulses.Select(See).OrderBy(pulse => pulse.FromSeconds)];

    private Pulse See(Pulse pulse) => pulse switch
    {
        BumpPulse { Origin: PulseOrigin.Pass } pass => new BumpPulse(Moved(pass), view.PassWidthSeconds * random.Scatter(0.1), view.PassSigma * random.Scatter(0.1)),
        BumpPulse { Origin: PulseOrigin.Halo } halo => new BumpPulse(Moved(halo), halo.FullWidthSeconds, halo.Sigmas * HaloShare()),
        FlashPulse flash => new FlashPulse(flash.FromSeconds, flash.Sigmas * view.FlashShare, Math.Min(flash.TailSeconds, view.LongestTailSeconds)),
        BurnPulse burn => burn.Weaker(view.FlashShare),
        DraughtPulse draught => draught.Weaker(view.DraughtShare),
        _ => pulse,
    };

    private double HaloShare() => view.LeastHaloShare < view.MostHaloShare ? random.Between(view.LeastHaloShare, view.MostHaloShare) : view.MostHaloShare;

    private double Moved(BumpPulse bump) => bump.CentreSeconds + (bump.FromSide * (view.PlaceSeconds - PlainPlaceSeconds));
}
