using System.Globalization;
using Acquire.Core;
using Acquire.Core.Methods;

namespace Acquire.Simulator;

/// <summary>The ranges within which the simulated tester makes sense.</summary>
internal static class SimulatorOptionRanges
{
    public static IReadOnlyList<InputError> Check(SimulatorOptions o)
    {
        // An expected flash point out of range is told below, beside the other figures.
        var wrong = o.Aim.Check(o.Method, MethodCatalog.All).Where(error => error.Path != "expectedFlashCelsius" || o.Method.Equilibrium is { Aim: EquilibriumAim.FlashNoFlash }).ToArray();
        if (wrong.Length > 0)
        {
            return [.. wrong.Select(error => error.Path == "methodId" ? error with { Path = "method" } : error)];
        }

        var errors = new List<InputError>();
        Temperatures(errors, o);
        Figures(errors, o);
        errors.AddRange(ThermometerRanges.Check(o));
        errors.AddRange(BenchRanges.Check(o.Bench));
        errors.AddRange(o.Analyst?.Check() ?? []);
        errors.AddRange(Contradictions(o));
        var wrongDisturbances = DisturbanceRanges.Check(o).ToArray();
        errors.AddRange(wrongDisturbances);
        Excursion(errors, wrongDisturbances.Length > 0 ? o.Excursion : DisturbedOptions.Of(o).Excursion);
        Scene(errors, o.Scene);
        return errors;
    }

    private static void Temperatures(List<InputError> errors, SimulatorOptions o)
    {
        var scope = o.Method.FlashScopeCelsius;
        SpecimenRanges.Check(errors, o);
        if (o.ExpectedFlashCelsius is not null || (o.Specimen is null && o.Aim.ExpectedFlashCelsius is not null))
        {
            Within(errors, "expectedFlashCelsius", o.Expected, scope.From, scope.To);
        }

        if (o.FireCelsius is { } fire && o.Specimen is null)
        {
            Within(errors, "fireCelsius", fire, o.FlashCelsius, o.FlashCelsius + 150);
        }

        Within(errors, "ambientCelsius", o.AmbientCelsius, 5, 45);
        Within(errors, "startCelsius", o.Start, -60, o.HighestStart);
        Within(errors, "thermometerStartCelsius", o.ThermometerStartCelsius ?? o.Start, -60, 450);
        Within(errors, "junctionStartCelsius", o.JunctionStartCelsius ?? o.AmbientCelsius, 5, 60);
    }

    private static void Figures(List<InputError> errors, SimulatorOptions o)
    {
        Within(errors, "stationPressureKilopascals", o.StationPressureKilopascals, 60, 110);
        Within(errors, "leadInSeconds", o.LeadInSeconds, 0, 3600);
        Within(errors, "coolingSeconds", o.CoolingSeconds, 0, 7200);
        Within(errors, "controlledRateCelsiusPerMinute", o.ControlledRateCelsiusPerMinute ?? 5, 0.5, 20);
        Within(errors, "rowsPerSecond", o.RowsPerSecond, 10, 500);
        Within(errors, "timestampJitterSeconds", o.TimestampJitterSeconds, 0, 0.2 / o.RowsPerSecond);
        Within(errors, "thermometer.lagSeconds", o.Thermometer.LagSeconds, 3, 60);
        Within(errors, "thermometer.noiseCelsius", o.Thermometer.NoiseCelsius, 0, 1);
        Within(errors, "thermometer.stepCelsius", o.Thermometer.StepCelsius, 0.001, 1);
        Within(errors, "thermometer.driftCelsiusPerHour", o.Thermometer.DriftCelsiusPerHour, -10, 10);
        Within(errors, "humHertz", o.HumHertz ?? 50, 0.01, 500);
    }

    // What does not go together.
    private static IEnumerable<InputError> Contradictions(SimulatorOptions o)
    {
        if (o is { Analyst.Mistakes.Count: > 0, IsEquilibrium: true })
        {
            yield return new("analyst.mistakes", "are made along a ramp; none are made with fresh test portions");
        }

        if (o is { Analyst: not null, HasFlameSignal: true })
        {
            yield return new("hasFlameSignal", "a cup that is worked by hand has no flame signal");
        }

        if (!Enum.IsDefined(o.Detector))
        {
            yield return new("detector", $"'{o.Detector}' is none of plain, thermal and ionisation");
        }

        if (o is { Analyst: not null, TwoDetectors: true })
        {
            yield return new("twoDetectors", "a cup that is worked by hand has no detector");
        }

        if (o is { TwoDetectors: true, Detector: not DetectorKind.Plain })
        {
            yield return new("detector", "is for a tester with one; with two, ionisation decides and thermal confirms");
        }
    }

    private static void Excursion(List<InputError> errors, HeatingExcursion? excursion)
    {
        if (excursion is null)
        {
            return;
        }

        Within(errors, "excursion.fromBelowExpectedCelsius", excursion.FromBelowExpectedCelsius, -100, 200);
        Within(errors, "excursion.toBelowExpectedCelsius", excursion.ToBelowExpectedCelsius, -150, excursion.FromBelowExpectedCelsius);
        Within(errors, "excursion.rateCelsiusPerMinute", excursion.RateCelsiusPerMinute, 0.5, 25);
    }

    private static void Scene(List<InputError> errors, DetectorScene s)
    {
        Within(errors, "scene.baseline", s.Baseline, -1e6, 1e6);
        Within(errors, "scene.unitsPerSigma", s.UnitsPerSigma, 1e-3, 1e5);
        Within(errors, "scene.stepUnits", s.StepUnits, 1e-4, 1e4);
        Within(errors, "scene.whiteShare", s.WhiteShare, 0, 1);
        Within(errors, "scene.driftSigma", s.DriftSigma, 0, 10);
        Within(errors, "scene.humSigma", s.HumSigma, 0, 20);
        Within(errors, "scene.humHertz", s.HumHertz, 45, 65);
        Within(errors, "scene.draughtShare", s.DraughtShare, 0, 1);
        Within(errors, "scene.spikesPerSecond", s.SpikesPerSecond, 0, 1);
        Within(errors, "scene.passSigma", s.PassSigma, 0, 200);
        Within(errors, "scene.haloSigma", s.HaloSigma, 0, 200);
        Within(errors, "scene.flashSigma", s.FlashSigma, 1, 2000);
        Within(errors, "scene.flashTailSeconds", s.FlashTailSeconds, 0, 2);
        Within(errors, "scene.burnSigma", s.BurnSigma, 1, 5000);
        View(errors, "scene.thermal", s.Thermal ?? DetectorView.Thermal);
        View(errors, "scene.ionisation", s.Ionisation ?? DetectorView.Ionisation);
    }

    private static void View(List<InputError> errors, string path, DetectorView view)
    {
        Within(errors, path + ".baseline", view.Baseline, -1e6, 1e6);
        Within(errors, path + ".unitsPerSigma", view.UnitsPerSigma, 1e-3, 1e5);
        Within(errors, path + ".stepUnits", view.StepUnits, 1e-4, 1e4);
        Within(errors, path + ".passSigma", view.PassSigma, 0, 200);
        Within(errors, path + ".passWidthSeconds", view.PassWidthSeconds, 0.1, 2);
        Within(errors, path + ".placeSeconds", view.PlaceSeconds, -0.3, 0.3);
        Within(errors, path + ".leastHaloShare", view.LeastHaloShare, 0, view.MostHaloShare);
        Within(errors, path + ".mostHaloShare", view.MostHaloShare, 0, 1);
        Within(errors, path + ".flashShare", view.FlashShare, 0, 2);
        Within(errors, path + ".longestTailSeconds", view.LongestTailSeconds, 0, 2);
        Within(errors, path + ".draughtShare", view.DraughtShare, 0, 1);
        Within(errors, path + ".lagSeconds", view.LagSeconds, 0, 1);
        Within(errors, path + ".whiteShare", view.WhiteShare, 0, 1);
    }

    internal static void Within(List<InputError> errors, string path, double value, double least, double most)
    {
        if (!(value >= least && value <= most))
        {
            errors.Add(new(path, $"{Show(value)} is not within {Show(least)} to {Show(most)}"));
        }
    }

    private static string Show(double value) => value.ToString("0.####", CultureInfo.InvariantCulture);
}
