namespace Acquire.Simulator;

/// <summary>The tester's own heating control: feed-forward from a plant it knows imperfectly, and PI on the rate it sees through its thermometer.</summary>
internal sealed class RampController
{
    /// <summary>Time between two decisions, s.</summary>
    public const double PeriodSeconds = 0.5;

    // Tracker gains and PI constants: chosen on the model, no source. The tracker forgets in about 6 s.
    private const double TrackTemperature = 0.15, TrackRate = 0.012;
    private const double Proportional = 400, Integral = 400 / 80.0;

    // The setpoint may change by 15 °C/min within a minute: a cold plate cannot follow faster, and the integral would wind up.
    private const double FastSlewPerSecond = 15.0 / 60 / 60;

    // Where one rate holds from the start, a tester takes its time to reach it, for an overshoot would count; chosen on the model, no source.
    private const double ApproachSeconds = 90, ArrivedShare = 0.97;

    private readonly RampProfile profile;
    private readonly double ambientCelsius;
    private readonly double plantKnowledge;
    private readonly double thermometerLagSeconds;
    private readonly double slewPerSecond;
    private readonly bool isConstant;
    private readonly HeatFigures figures;
    private readonly double cupToOil;
    private double seenCelsius = double.NaN;
    private double seenPerSecond;
    private double aimedPerSecond;
    private double followedPerSecond;
    private double integralWatts;

    public RampController(SimulatorOptions options, SimulatorRandom random)
    {
        profile = new RampProfile(options);
        figures = HeatFigures.Scripted(options.Method);
        cupToOil = figures.Conductance(options.Method.Stirring is not null);
        isConstant = options.Rules.Ramp.IsConstant;
        slewPerSecond = isConstant ? RampProfile.NominalPerMinute(options) / 60 / ApproachSeconds : FastSlewPerSecond;
        ambientCelsius = options.AmbientCelsius;
        thermometerLagSeconds = options.Thermometer.LagSeconds;
        plantKnowledge = random.Between(0.92, 1.08);
    }

    /// <summary>The next heater power, W, from what the thermometer reads now, °C.</summary>
    public double Decide(double readCelsius)
    {
        // Before the heater goes on the thermometer may still be settling; control begins with what it reads then.
        seenCelsius = double.IsNaN(seenCelsius) ? readCelsius : seenCelsius;
        var predicted = seenCelsius + (seenPerSecond * PeriodSeconds);
        var surprise = readCelsius - predicted;
        seenCelsius = predicted + (TrackTemperature * surprise);
        seenPerSecond += TrackRate * surprise / PeriodSeconds;

        var before = aimedPerSecond;
        var ahead = seenCelsius + (seenPerSecond * (figures.HeaterDeadSeconds + thermometerLagSeconds));
        var step = Math.Clamp(profile.RatePerSecond(ahead) - aimedPerSecond, -slewPerSecond * PeriodSeconds, slewPerSecond * PeriodSeconds);
        aimedPerSecond += step;
        // The thermometer shows what was ordered only after dead time, heater and sensor lag: compare like with like.
        followedPerSecond += (aimedPerSecond - followedPerSecond) * PeriodSeconds / (figures.HeaterDeadSeconds + figures.HeaterLagSeconds + thermometerLagSeconds + 6);
        var error = followedPerSecond - seenPerSecond;
        var wanted = FeedForward(ahead, aimedPerSecond, (aimedPerSecond - before) / PeriodSeconds) + (Proportional * error) + integralWatts;
        var given = Math.Clamp(wanted, 0, figures.HeaterWatts);
        // On the way to a constant rate the slow cup would wind the integral up.
        var arrived = !isConstant || followedPerSecond > ArrivedShare * aimedPerSecond;
        if (given == wanted && arrived)
        {
            integralWatts = Math.Clamp(integralWatts + (Integral * error * PeriodSeconds), -80, 80);
        }

        return given;
    }

    /// <summary>Power that keeps the rate in the plant as the controller knows it, including what plate and cup take up when the rate changes.</summary>
    private double FeedForward(double oilCelsius, double perSecond, double changePerSecond)
    {
        var oil = figures.OilShare * Apparatus.OilCapacity(oilCelsius);
        var oilLoss = figures.OilLossShare * Apparatus.OilLoss(oilCelsius, ambientCelsius);
        var cupAbove = ((oil * perSecond) + oilLoss) / cupToOil;
        var cupLoss = figures.CupLossShare * Apparatus.CupLoss(oilCelsius + cupAbove, ambientCelsius);
        var plateAbove = cupAbove + ((((oil + figures.CupCapacity) * perSecond) + oilLoss + cupLoss) / figures.BodyToCup);
        var plateLoss = figures.BodyLossShare * Apparatus.PlateLoss(oilCelsius + plateAbove, ambientCelsius);
        var cupChange = oil * changePerSecond / cupToOil;
        var plateChange = cupChange + ((oil + figures.CupCapacity) * changePerSecond / figures.BodyToCup);
        var stored = (oil * perSecond) + (figures.CupCapacity * (perSecond + cupChange)) + (figures.BodyCapacity * (perSecond + plateChange));
        return plantKnowledge * (stored + oilLoss + cupLoss + plateLoss);
    }
}
