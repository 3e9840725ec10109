using Acquire.Core.Readings;

namespace Acquire.Simulator;

/// <summary>The cup of a driven tester: heater, body, cup, test portion, vapour, test flame, thermometer and detector, moved on by what it is told a hundred times a second.</summary>
/// <remarks>It knows no method and no plan: what happens follows from the power that the heater is given and from where the flame is.</remarks>
public sealed class DrivenCup
{
    /// <summary>One step, s.</summary>
    public const double StepSeconds = 0.01;

    /// <summary>What a driven tester tells of itself besides its readings.</summary>
    public const RowChannels OwnChannels = RowChannels.Command | RowChannels.Heater;

    private const long StepsPerSecond = 100;
    private const double CleaningSeconds = 15;

    private readonly DrivenOptions options;
    private readonly HeatModel heat;
    private readonly VapourModel vapour;
    private readonly TestFlameArm arm;
    private readonly DrivenIgnition ignition;
    private readonly DrivenDetector detector;
    private readonly SignalSource signals;
    private readonly WarmedJunction junction;
    private readonly bool isPlain;
    private readonly bool isBlock;
    private readonly long stepsPerRow;
    private bool isCharged;
    private double cleanedAtSeconds = double.NaN;
    private long steps;
    private double heaterOnSeconds = double.NaN;
    private double heaterOffSeconds = double.NaN;

    /// <summary>A cup at rest, at 0 s.</summary>
    /// <exception cref="ArgumentException">An option is out of range; <see cref="DrivenOptions.Check"/> says which without throwing.</exception>
    public DrivenCup(DrivenOptions options)
    {
        ArgumentNullException.ThrowIfNull(options);
        options.Require();
        this.options = options;
        var run = options.Run;
        heat = new(run.Start, run.ThermometerStartCelsius ?? run.Start, run.AmbientCelsius, run.Thermometer.LagSeconds, options.Plant.Figures(StepSeconds))
        {
            ThermometerInBody = options.Plant.Kind == DrivenPlantKind.Block,
        };
        isBlock = run.IsEquilibrium;
        isCharged = !isBlock || options.PortionsComeByThemselves;
        vapour = new(run);
        var random = new SimulatorRandom(run.Seed, RandomPurpose.Ignition);
        arm = new(options.ReactionSeconds, random);
        ignition = new(run, random);
        detector = new(run);
        signals = new(run);
        junction = new(run);
        isPlain = run.Thermometer.Chain.IsPlain;
        stepsPerRow = StepsPerSecond / (long)run.RowsPerSecond;
        HighestSpecimenCelsius = run.Start;
    }

    /// <summary>Time of the cup, s.</summary>
    public double Seconds => Math.Round(steps * StepSeconds, 2);

    /// <summary>Temperature of the specimen itself, °C.</summary>
    public double SpecimenCelsius => heat.OilCelsius;

    /// <summary>Temperature of the cup's metal, °C.</summary>
    public double CupCelsius => heat.CupCelsius;

    /// <summary>Temperature of the plate, or of the bath, °C.</summary>
    public double BodyCelsius => heat.BodyCelsius;

    /// <summary>Temperature of the thermometer's sensor, °C.</summary>
    public double ThermometerCelsius => heat.ThermometerCelsius;

    /// <summary>Temperature of a thermocouple's reference junction, °C.</summary>
    public double JunctionCelsius => junction.Celsius;

    /// <summary>Power that the heater gives off now, W: behind its dead time and lag.</summary>
    public double HeaterWatts => heat.HeaterWatts;

    /// <summary>Whether the test flame is really over the cup.</summary>
    public bool FlameIsOver => arm.IsOver;

    /// <summary>Whether the surface burns.</summary>
    public bool Burns => Seconds < ignition.BurnsUntilSeconds;

    /// <summary>The hottest that the specimen has been, °C.</summary>
    public double HighestSpecimenCelsius { get; private set; }

    /// <summary>Whether a test portion is in the cup.</summary>
    public bool IsCharged => isCharged;

    /// <summary>A person charges a fresh test portion, as cool as the room, into the clean cup of a block.</summary>
    /// <param name="millilitres">Its volume, mL, above 0.</param>
    public void Charge(double millilitres)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(millilitres);
        isCharged = true;
        vapour.Clear();
        heat.Charge(options.Run.AmbientCelsius, DrivenPlant.ShareOf(millilitres) * options.Plant.Portion);
    }

    /// <summary>A person empties and cleans the cup of a block.</summary>
    public void Clear()
    {
        isCharged = false;
        vapour.Clear();
    }

    /// <summary>One step of 0.01 s; the row read at its beginning, or null where none is due.</summary>
    /// <param name="does">What the tester does in it.</param>
    /// <param name="thermometerIsOut">Whether the thermometer hangs beside the cup.</param>
    public ReadingRow? Step(Obedience does, bool thermometerIsOut = false)
    {
        var seconds = Seconds;
        ReadingRow? row = steps % stepsPerRow == 0 ? Row(seconds, does) : null;
        Heated(seconds, does.HeaterFraction);
        arm.Step(does.FlameOver, StepSeconds);
        detector.Step(StepSeconds, arm);
        if (ignition.Step(seconds, heat.ThermometerCelsius, arm, vapour, detector))
        {
            vapour.Strip();
        }

        vapour.IsStirred = does.StirrerOn;
        if (isCharged)
        {
            vapour.Step(heat.OilCelsius, StepSeconds);
        }

        Renew(seconds);
        heat.ThermometerIsOut = thermometerIsOut;
        heat.CupToOil = options.Plant.CupToOil(does.StirrerOn && options.Plant.Kind == DrivenPlantKind.ClosedCup);
        heat.Step(does.HeaterFraction * options.Plant.MaxWatts, isBlock ? 0 : (Burns ? Apparatus.BurningWatts : 0) - vapour.EvaporationWatts);
        junction.Step(heat.BodyCelsius, StepSeconds);
        HighestSpecimenCelsius = Math.Max(HighestSpecimenCelsius, heat.OilCelsius);
        steps++;
        return row;
    }

    /// <summary>What really happened so far.</summary>
    public SimulatedTruth Truth() => new()
    {
        Options = options.Run,
        Seed = options.Run.Seed,
        FlashCelsius = options.Run.FlashCelsius,
        FireCelsius = options.Run.FireCelsius,
        ExpectedFlashCelsius = options.Run.Aim.ExpectedFlashCelsius,
        FlashAtStationCelsius = Math.Round(vapour.FlashReadingCelsius(options.Run.StationPressureKilopascals), 4),
        FireAtStationCelsius = options.Run.FireCelsius is null ? null : Math.Round(vapour.FireReadingCelsius(options.Run.StationPressureKilopascals), 4),
        Specimen = vapour.Told,
        Applications = [.. ignition.Applications],
        Flash = ignition.Flash,
        Fire = ignition.Fire,
        HeaterOnSeconds = double.IsNaN(heaterOnSeconds) ? Seconds : heaterOnSeconds,
        HeaterOffSeconds = double.IsNaN(heaterOffSeconds) ? Seconds : heaterOffSeconds,
        EndSeconds = Seconds,
    };

    // Between two applications there is time to clean; what comes then is no cooler than the block, as it was there all the while.
    private void Renew(double seconds)
    {
        if (!options.PortionsComeByThemselves)
        {
            return;
        }

        cleanedAtSeconds = arm.IsOver ? seconds + CleaningSeconds : cleanedAtSeconds;
        if (seconds > cleanedAtSeconds)
        {
            cleanedAtSeconds = double.NaN;
            vapour.Clear();
        }
    }

    private void Heated(double seconds, double fraction)
    {
        if (fraction > 0)
        {
            heaterOnSeconds = double.IsNaN(heaterOnSeconds) ? seconds : heaterOnSeconds;
            heaterOffSeconds = Math.Round(seconds + StepSeconds, 2);
        }
    }

    private ReadingRow Row(double seconds, Obedience does)
    {
        var thermometer = signals.Read(seconds, heat.ThermometerCelsius, junction.Celsius, junction.SensedCelsius);
        var present = RowChannels.Detector | RowChannels.Flame | RowChannels.Heater
            | (does.Command is null ? 0 : RowChannels.Command)
            | (thermometer.JunctionCelsius is null ? 0 : RowChannels.Junction)
            | (thermometer.Signal is null ? 0 : isPlain ? RowChannels.Temperature : RowChannels.Signal);
        var value = thermometer.Signal ?? 0;
        return new(seconds, present, isPlain ? value : 0, detector.Read(seconds, arm), arm.IsOver)
        {
            // No converter sends a negative zero.
            Signal = isPlain ? 0 : value + 0.0,
            JunctionCelsius = thermometer.JunctionCelsius ?? 0,
            Command = does.Command ?? 0,
            HeaterFraction = Math.Round(does.HeaterFraction, 4),
        };
    }
}
