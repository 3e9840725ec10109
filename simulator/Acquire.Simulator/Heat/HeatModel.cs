namespace Acquire.Simulator;

/// <summary>Heater, plate, cup, oil and thermometer as lumped nodes, stepped by explicit Euler.</summary>
/// <remarks>The fastest node settles in about 5 s, so a step of 0.05 s is within one per cent even in a transient.</remarks>
internal sealed class HeatModel
{
    /// <summary>Step, s.</summary>
    public const double StepSeconds = 0.05;

    private readonly double ambientCelsius;
    private readonly double openShare;
    private readonly double thermometerLagSeconds;
    private readonly Queue<double> commandsUnderWay = new();

    public HeatModel(double startCelsius, double thermometerStartCelsius, double ambientCelsius, double thermometerLagSeconds, double openShare)
    {
        this.openShare = openShare;
        this.ambientCelsius = ambientCelsius;
        this.thermometerLagSeconds = thermometerLagSeconds;
        PlateCelsius = CupCelsius = OilCelsius = startCelsius;
        ThermometerCelsius = thermometerStartCelsius;
        for (var step = 0; step < Apparatus.HeaterDeadSeconds / StepSeconds; step++)
        {
            commandsUnderWay.Enqueue(0);
        }
    }

    public double HeaterWatts { get; private set; }

    public double PlateCelsius { get; private set; }

    public double CupCelsius { get; private set; }

    public double OilCelsius { get; private set; }

    public double ThermometerCelsius { get; private set; }

    /// <summary>One step with the commanded heater power and the heat that evaporation takes from (or a fire gives to) the oil, W.</summary>
    public void Step(double commandWatts, double surfaceWatts)
    {
        commandsUnderWay.Enqueue(commandWatts);
        var arrived = commandsUnderWay.Dequeue();
        var plateToCup = Apparatus.PlateToCup * (PlateCelsius - CupCelsius);
        var cupToOil = Apparatus.CupToOil * (CupCelsius - OilCelsius);
        var plate = (HeaterWatts - plateToCup - (openShare * Apparatus.PlateLoss(PlateCelsius, ambientCelsius))) / Apparatus.PlateCapacity;
        var cup = (plateToCup - cupToOil - (openShare * Apparatus.CupLoss(CupCelsius, ambientCelsius))) / Apparatus.CupCapacity;
        var oil = (cupToOil + surfaceWatts - Apparatus.OilLoss(OilCelsius, ambientCelsius)) / Apparatus.OilCapacity(OilCelsius);
        var thermometer = (OilCelsius - ThermometerCelsius) / thermometerLagSeconds;

        HeaterWatts += (arrived - HeaterWatts) * StepSeconds / Apparatus.HeaterLagSeconds;
        PlateCelsius += plate * StepSeconds;
        CupCelsius += cup * StepSeconds;
        OilCelsius += oil * StepSeconds;
        ThermometerCelsius += thermometer * StepSeconds;
    }
}
