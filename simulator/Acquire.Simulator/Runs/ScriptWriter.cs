namespace Acquire.Simulator;

/// <summary>Lets heat, vapour and flame act on each other from charging the cup to the end of the record.</summary>
/// <remarks>The reading rate and the noise on the wire have no part in it, so the truth of a seed is the same at every rate and in every scene.</remarks>
internal sealed class ScriptWriter
{
    // No specimen within a method's scope needs longer or gets hotter; a tester left alone would stop here too.
    private const double LongestHeatingSeconds = 4 * 3600, HottestCelsius = 520;

    private readonly SimulatorOptions options;
    private readonly HeatModel heat;
    private readonly VapourModel vapour;
    private readonly RampController controller;
    private readonly ITestFlame flame;
    private readonly CupUpsets upsets;
    private readonly Ignition ignition;
    private readonly SimulatorRandom heatingRandom;
    private readonly List<double> thermometer = [];
    private double commandWatts;
    private double heaterOffSeconds = double.NaN;

    public ScriptWriter(SimulatorOptions options)
    {
        this.options = options;
        heat = new(options.Start, options.ThermometerStartCelsius ?? options.Start, options.AmbientCelsius, options.Thermometer.LagSeconds, HeatFigures.Scripted(options.Method));
        heat.CupToOil = HeatFigures.Scripted(options.Method).Conductance(options.Method.Stirring is not null);
        vapour = new(options);
        heatingRandom = new(options.Seed, RandomPurpose.Heating);
        controller = new(options, heatingRandom);
        upsets = new(options);
        var ignitionRandom = new SimulatorRandom(options.Seed, RandomPurpose.Ignition);
        ignition = new(options, ignitionRandom);
        flame = options.Analyst is { } analyst ? new AnalystFlame(options, analyst, () => ignition.Applications[^1]) : new FlameSchedule(options, ignitionRandom);
    }

    /// <summary>Plays the run.</summary>
    public RunScript Write()
    {
        var controlEvery = (long)Math.Round(RampController.PeriodSeconds / HeatModel.StepSeconds);
        for (var step = 0L; ; step++)
        {
            var seconds = step * HeatModel.StepSeconds;
            thermometer.Add(heat.ThermometerCelsius);
            if (seconds >= heaterOffSeconds + options.CoolingSeconds)
            {
                return Finish(seconds);
            }

            if (double.IsNaN(heaterOffSeconds) && seconds >= options.LeadInSeconds)
            {
                if (step % controlEvery == 0)
                {
                    commandWatts = controller.Decide(heat.ThermometerCelsius + (0.02 * heatingRandom.NextGaussian()));
                }

                Apply(seconds);
                if (IsOver(seconds))
                {
                    heaterOffSeconds = seconds;
                    commandWatts = 0;
                }
            }

            vapour.Step(heat.OilCelsius, HeatModel.StepSeconds);
            var watts = upsets.HeaterWatts(seconds, commandWatts, heat.ThermometerCelsius, heaterOffSeconds);
            heat.Step(watts, (Burns(seconds) ? Apparatus.BurningWatts : 0) - vapour.EvaporationWatts - upsets.SteamWatts(seconds, heat.OilCelsius));
        }
    }

    private void Apply(double seconds)
    {
        if (flame.Step(seconds, heat.ThermometerCelsius, Burns(seconds) || !double.IsNaN(ignition.FireSeconds)))
        {
            ignition.Judge(flame.Current!, upsets.VapourRatio(seconds, vapour.CurrentRatio), options.Method.FirePoint.Determined ? vapour.FireRatio : double.PositiveInfinity);
            vapour.Strip();
        }

        upsets.Ignite(seconds, flame.Current, ignition);
    }

    private bool Burns(double seconds) => seconds < ignition.BurnsUntilSeconds;

    private bool IsOver(double seconds)
    {
        if (!double.IsNaN(ignition.FireSeconds) || upsets.Ignited)
        {
            return seconds >= ignition.BurnsUntilSeconds;
        }

        var noFireToCome = options.Scouting || options.FireCelsius is null || !options.Method.FirePoint.Determined;
        var flashes = ignition.Applications.Count(application => application.Flashed);
        return (noFireToCome && flashes > flame.PassesAfterFlash && seconds >= flame.Current!.EndSeconds + 2)
            || flame.IsDone
            || upsets.IsGivenUp(heat.ThermometerCelsius)
            || seconds - options.LeadInSeconds > LongestHeatingSeconds
            || heat.ThermometerCelsius > HottestCelsius;
    }

    private RunScript Finish(double endSeconds)
    {
        var readings = thermometer.ToArray();
        var pulses = ignition.Pulses.Concat(upsets.Pulses(endSeconds)).OrderBy(pulse => pulse.FromSeconds).ToArray();
        var script = new RunScript(readings, pulses, Truth(endSeconds));
        return script with
        {
            Events = [.. ignition.Events, .. upsets.Events],
            Truth = script.Truth with
            {
                Applications = ignition.Applications.ConvertAll(made => made with { TimeSeconds = Tidy(made.TimeSeconds), TemperatureCelsius = Tidy(script.ReadAt(made.TimeSeconds)), DurationSeconds = Tidy(made.DurationSeconds), BurnedSeconds = Tidy(made.BurnedSeconds) }),
                Flash = Onset(script, ignition.FlashSeconds),
                Fire = Onset(script, ignition.FireSeconds),
            },
        };
    }

    private SimulatedTruth Truth(double endSeconds) => new()
    {
        Options = options,
        Seed = options.Seed,
        FlashCelsius = options.FlashCelsius,
        FireCelsius = options.FireCelsius,
        ExpectedFlashCelsius = options.Aim.ExpectedFlashCelsius,
        FlashAtStationCelsius = Tidy(vapour.FlashReadingCelsius(options.StationPressureKilopascals)),
        FireAtStationCelsius = options.FireCelsius is null ? null : Tidy(vapour.FireReadingCelsius(options.StationPressureKilopascals)),
        Applications = [],
        Flash = null,
        Fire = null,
        HeaterOnSeconds = options.LeadInSeconds,
        HeaterOffSeconds = Tidy(heaterOffSeconds),
        EndSeconds = Tidy(endSeconds),
        Specimen = vapour.Told,
        Keys = options.Analyst is null ? null : flame.Keys,
    };

    private SimulatedOnset? Onset(RunScript script, double seconds)
    {
        var made = ignition.Applications.FindLast(application => application.TimeSeconds <= seconds);
        return made is null ? null : new(made.Number, Tidy(seconds), Tidy(script.ReadAt(seconds)));
    }

    private static double Tidy(double value) => Math.Round(value, 4);
}
