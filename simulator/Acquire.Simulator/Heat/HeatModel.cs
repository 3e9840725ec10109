namespace Acquire.Simulator;

/// <summary>Heater, plate, cup, oil and thermometer as lumped nodes, stepped by explicit Euler.</summary>
/// <remarks>The fastest node of the usual tester settles in about 5 s, so a step of 0.05 s is within one per cent even in a transient.</remarks>
internal sealed class HeatModel
{
    /// <summary>Step of the tester that plays a script, s.</summary>
    public const double StepSeconds = 0.05;

    private readonly HeatFigures figures;
    private readonly double ambientCelsius;
    private readonly double thermometerLagSeconds;
    private readonly Queue<double> commandsUnderWay = new();
    private double oilShare;

    public HeatModel(double startCelsius, double thermometerStartCelsius, double ambientCelsius, double thermometerLagSeconds, HeatFigures figures)
    {
        this.figures = figures;
        oilShare = figures.OilShare;
        CupToOil = figures.CupToOil;
        this.ambientCelsius = ambientCelsius;
        this.thermometerLagSeconds = thermometerLagSeconds;
        BodyCelsius = CupCelsius = OilCelsius = startCelsius;
        ThermometerCelsius = thermometerStartCelsius;
        for (var step = 0; step < figures.HeaterDeadSeconds / figures.StepSeconds; step++)
        {
            commandsUnderWay.Enqueue(0);
        }
    }

    public double HeaterWatts { get; private set; }

    /// <summary>Temperature of the plate, or of the bath.</summary>
    public double BodyCelsius { get; private set; }

    public double CupCelsius { get; private set; }

    public double OilCelsius { get; private set; }

    public double ThermometerCelsius { get; private set; }

    /// <summary>Cup to oil, W/K; a stirrer changes it.</summary>
    public double CupToOil { get; set; }

    /// <summary>Whether the thermometer hangs in the air of the room instead of in the oil.</summary>
    public bool ThermometerIsOut { get; set; }

    /// <summary>Whether the thermometer sits in the body, as in a metal block, and not in the oil.</summary>
    public bool ThermometerInBody { get; init; }

    /// <summary>What the heater, the body, the cup and the oil exchange with each other and the room now.</summary>
    public HeatFlows Flows => new()
    {
        HeaterWatts = HeaterWatts,
        BodyToCupWatts = figures.BodyToCup * (BodyCelsius - CupCelsius),
        CupToOilWatts = CupToOil * (CupCelsius - OilCelsius),
        BodyLossWatts = figures.BodyLossShare * Apparatus.PlateLoss(BodyCelsius, ambientCelsius),
        CupLossWatts = figures.CupLossShare * Apparatus.CupLoss(CupCelsius, ambientCelsius),
        OilLossWatts = figures.OilLossShare * Apparatus.OilLoss(OilCelsius, ambientCelsius),
    };

    /// <summary>Heat capacity of the test portion as it is now, J/K.</summary>
    public double OilCapacity => oilShare * Apparatus.OilCapacity(OilCelsius);

    /// <summary>A fresh test portion takes the place of what is in the cup.</summary>
    /// <param name="celsius">Its temperature, °C.</param>
    /// <param name="share">Its quantity, 1 for 70 mL.</param>
    public void Charge(double celsius, double share) => (OilCelsius, oilShare) = (celsius, share);

    /// <summary>One step with the commanded heater power and the heat that evaporation takes from (or a fire gives to) the oil, W.</summary>
    public void Step(double commandWatts, double surfaceWatts)
    {
        commandsUnderWay.Enqueue(commandWatts);
        var arrived = commandsUnderWay.Dequeue();
        var flows = Flows;
        var body = (flows.HeaterWatts - flows.BodyToCupWatts - flows.BodyLossWatts) / figures.BodyCapacity;
        var cup = (flows.BodyToCupWatts - flows.CupToOilWatts - flows.CupLossWatts) / figures.CupCapacity;
        var oil = (flows.CupToOilWatts + surfaceWatts - flows.OilLossWatts) / OilCapacity;
        var thermometer = ((ThermometerIsOut ? ambientCelsius : ThermometerInBody ? BodyCelsius : OilCelsius) - ThermometerCelsius) / thermometerLagSeconds;

        HeaterWatts += (arrived - HeaterWatts) * figures.StepSeconds / figures.HeaterLagSeconds;
        BodyCelsius += body * figures.StepSeconds;
        CupCelsius += cup * figures.StepSeconds;
        OilCelsius += oil * figures.StepSeconds;
        ThermometerCelsius += thermometer * figures.StepSeconds;
    }
}
