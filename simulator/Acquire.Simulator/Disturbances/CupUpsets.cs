namespace Acquire.Simulator;

/// <summary>What disturbances do to the cup itself: heater, water, foam, and an ignition without a flame.</summary>
internal sealed class CupUpsets(SimulatorOptions options)
{
    // When a stuck relay shows, where no time is given; and how long it takes until somebody pulls the plug.
    private const double StuckBelowExpectedCelsius = 20, PlugSeconds = 30;

    // Where no time is given: so long after the second pass that flashed, before the next one in every method.
    private const double IgnitesAfterPassSeconds = 4;

    // A person who sees no flash, or no fire, does not heat on for ever.
    private const double GivenUpAboveCelsius = 40;

    private readonly Disturbance[] relays = options.Disturbances.Of(DisturbanceKind.StuckRelay);
    private readonly Disturbance? ignition = options.Disturbances.Of(DisturbanceKind.SelfIgnition).FirstOrDefault();
    private readonly WaterPopping water = new(options);
    private readonly BreakingFoam foam = new(options);
    private double stuckSeconds = double.NaN;

    /// <summary>What they did.</summary>
    public List<DisturbanceEvent> Events { get; } = [];

    /// <summary>Whether the specimen has ignited with no test flame over it.</summary>
    public bool Ignited { get; private set; }

    /// <summary>What the heater gives instead of what it is told, W.</summary>
    public double HeaterWatts(double seconds, double toldWatts, double readCelsius, double heaterOffSeconds)
    {
        if (relays.Length == 0 || seconds > heaterOffSeconds + PlugSeconds)
        {
            return toldWatts;
        }

        var share = 0.0;
        foreach (var relay in relays)
        {
            if (relay.StartSeconds is null && double.IsNaN(stuckSeconds) && readCelsius >= options.Expected - StuckBelowExpectedCelsius)
            {
                stuckSeconds = seconds;
            }

            var from = relay.StartSeconds ?? stuckSeconds;
            share = seconds >= from && !(seconds >= from + relay.LengthSeconds) ? Math.Max(share, relay.StrengthOrUsual) : share;
        }

        if (share > 0 && !Events.Exists(one => one.Kind == DisturbanceKind.StuckRelay))
        {
            Events.Add(new(DisturbanceKind.StuckRelay, seconds));
        }

        return Math.Max(toldWatts, share * Apparatus.HeaterWatts);
    }

    /// <summary>Whether a person gives up at a reading: far above where flash and fire should have been.</summary>
    public bool IsGivenUp(double readCelsius) => options.Disturbances.Count > 0
        && readCelsius > Math.Max(options.Expected, Math.Max(options.FlashCelsius, options.FireCelsius ?? 0)) + GivenUpAboveCelsius;

    /// <summary>What steam takes from the oil, W.</summary>
    public double SteamWatts(double seconds, double oilCelsius) => water.Watts(seconds, oilCelsius);

    /// <summary>What is left of the vapour at a pass.</summary>
    public double VapourRatio(double seconds, double ratio) => foam.Left(seconds) * ratio;

    /// <summary>Lets the specimen ignite where it is time to.</summary>
    public void Ignite(double seconds, FlamePass? pass, Ignition cup)
    {
        if (ignition is null || Ignited || !(seconds >= (ignition.StartSeconds ?? UsualIgnition(pass, cup))))
        {
            return;
        }

        Ignited = true;
        Events.Add(new(DisturbanceKind.SelfIgnition, seconds));
        cup.IgniteByItself(seconds, ignition.StrengthOrUsual, Waves.Draw(new(options.Seed, RandomPurpose.SelfIgnition), 4, 1, 6, 0.2));
    }

    /// <summary>What the detectors see of all this, and of gusts, up to the end of the record.</summary>
    public IEnumerable<Pulse> Pulses(double endSeconds)
    {
        var bumps = foam.Bumps(endSeconds);
        Events.AddRange(water.Pops.Select(pop => new DisturbanceEvent(DisturbanceKind.WaterPopping, pop.FromSeconds)));
        Events.AddRange(bumps.Select(bump => new DisturbanceEvent(DisturbanceKind.Foam, bump.CentreSeconds)));
        return [.. Gusts.Draw(options, endSeconds), .. water.Pops, .. bumps];
    }

    private static double UsualIgnition(FlamePass? pass, Ignition cup) => pass is not null && cup.Applications.Count(made => made.Flashed) >= 2
        ? pass.EndSeconds + IgnitesAfterPassSeconds
        : double.NaN;
}
