using Acquire.Core.Runs;

namespace Acquire.Simulator;

/// <summary>Plays an equilibrium run: block to its temperature, portion, wait, one application, clean; as often as the search asks for.</summary>
internal sealed class PortionScriptWriter
{
    // A flash turns from unlikely to likely (10 to 90 %) over this many °C; 0.3 to 0.5 °C assumed.
    private const double WidthCelsius = 0.3;

    // The person waits this much longer than the block needs, and cleans for this long; assumed.
    private const double SteadyRoomSeconds = 15, CleaningSeconds = 40;

    private const double PassSeconds = 2.2;

    // From so much of its full size on a person sees a halo.
    private const double SeenHalo = 0.5;

    private readonly SimulatorOptions options;
    private readonly BlockModel block;
    private readonly SimulatorRandom random;
    private readonly List<double> thermometer = [];
    private readonly List<Pulse> pulses = [];
    private readonly List<SimulatedApplication> applications = [];
    private readonly List<PersonEntry> entries = [];
    private readonly PortionRules portions;
    private readonly SpecimenTruth? told;
    private readonly FlashShape shape;
    private double set;
    private SimulatedOnset? flash;

    public PortionScriptWriter(SimulatorOptions options)
    {
        this.options = options;
        block = new(options.Start, options.Thermometer.LagSeconds);
        random = new(options.Seed, RandomPurpose.Ignition);
        shape = new(options);
        portions = new(options.Aim.Plan(options.Method));
        set = options.Start;
        var vapour = new VapourModel(options);
        (FlashAtStation, told) = (vapour.FlashReadingCelsius(options.StationPressureKilopascals), vapour.Told);
    }

    private double Now => thermometer.Count * HeatModel.StepSeconds;

    private double FlashAtStation { get; }

    /// <summary>Plays the run.</summary>
    public RunScript Write()
    {
        Pass(options.LeadInSeconds);
        _ = PortionSearch.Run(options, Test);
        var offSeconds = Now;
        Pass(options.CoolingSeconds);
        return new([.. thermometer], [.. pulses.Concat(Gusts.Draw(options, Now)).OrderBy(pulse => pulse.FromSeconds)], Truth(offSeconds)) { Entries = entries, Events = shape.Events };
    }

    private bool Test(double celsius)
    {
        set = celsius;
        var steady = Now;
        while (Now - steady < portions.Rules.SteadySeconds + SteadyRoomSeconds)
        {
            Step();

            // Well within the tolerance: nobody charges at its edge.
            steady = Math.Abs(block.ThermometerCelsius - set) < 0.5 * portions.Rules.BlockToleranceCelsius ? steady : Now;
        }

        var charge = portions.ChargeAt(celsius);
        entries.Add(new PortionCharged(Tidy(Now), Tidy(Now), charge.Millilitres));
        block.Charge();
        Pass(charge.WaitSeconds + random.Between(0, 2));
        return Apply();
    }

    private bool Apply()
    {
        var (start, celsius) = (Now, block.ThermometerCelsius);
        var seconds = PassSeconds * random.Scatter(0.04);
        var over = celsius - FlashAtStation;
        var flashed = random.NextUnit() < 1 / (1 + Math.Exp(-over * 2 * Math.Log(9) / WidthCelsius));
        var middle = start + (seconds / 2);
        var halo = Math.Clamp(1 + (over / 6), 0, 1);
        pulses.Add(new BumpPulse(middle, 0.6 * random.Scatter(0.1), options.Scene.PassSigma * random.Scatter(0.1)) { Origin = PulseOrigin.Pass });
        pulses.Add(new BumpPulse(middle, shape.HaloWidth(random.Between(0.4, 0.8), middle), options.Scene.HaloSigma * halo * random.Scatter(0.1)) { Origin = PulseOrigin.Halo });
        var number = applications.Count + 1;
        if (flashed)
        {
            var onset = shape.Onset(middle + (seconds * random.Between(-0.2, 0.2)), middle, start + seconds);
            pulses.AddRange(shape.Shown(onset, options.Scene.FlashSigma * random.Scatter(0.05)));
            flash = flash is null || celsius < flash.TemperatureCelsius ? new(number, Tidy(onset), Tidy(celsius)) : flash;
        }

        applications.Add(new(number, Tidy(start), Tidy(celsius), Tidy(seconds), number % 2 == 1, Tidy(Math.Exp(0.042 * over)), Tidy(halo), flashed, 0));
        Pass(seconds);
        See(flashed ? Sighting.Flash : halo > SeenHalo ? Sighting.Halo : Sighting.Nothing);
        Pass(CleaningSeconds);
        return flashed;
    }

    // Where a person works the cup, a key says what was seen.
    private void See(Sighting seen)
    {
        if (options.Analyst is { } analyst)
        {
            Pass(Math.Max(0.1, analyst.ReactionSeconds + (analyst.ScatterSeconds * Math.Clamp(random.NextGaussian(), -2, 2))));
            entries.Add(new ObservationMade(Tidy(Now), Tidy(Now), seen));
        }
    }

    private void Pass(double seconds)
    {
        for (var until = Now + seconds; Now < until;)
        {
            Step();
        }
    }

    private void Step()
    {
        thermometer.Add(block.ThermometerCelsius);
        block.Step(set, HeatModel.StepSeconds);
    }

    private SimulatedTruth Truth(double offSeconds) => new()
    {
        Options = options,
        Seed = options.Seed,
        FlashCelsius = options.FlashCelsius,
        FireCelsius = null,
        ExpectedFlashCelsius = options.Aim.ExpectedFlashCelsius,
        FlashAtStationCelsius = Tidy(FlashAtStation),
        FireAtStationCelsius = null,
        Specimen = told,
        Applications = applications,
        Flash = flash,
        Fire = null,
        HeaterOnSeconds = options.LeadInSeconds,
        HeaterOffSeconds = Tidy(offSeconds),
        EndSeconds = Tidy(Now),
    };

    private static double Tidy(double value) => Math.Round(value, 4);
}
