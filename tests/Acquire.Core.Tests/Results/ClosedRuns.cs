using Acquire.Core.Methods;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Thermometry;

namespace Acquire.Core.Tests.Results;

/// <summary>Closed runs with invented figures, for tests of what is said about them.</summary>
internal static class ClosedRuns
{
    public static readonly MethodDefinition Method = MethodCatalog.TryFind("iso-2592-2017", out var iso) ? iso : throw new InvalidOperationException();

    /// <summary>A certificate with U = 0.5 °C, k = 2 at 226 °C.</summary>
    public static readonly CalibrationCertificate Certificate = new()
    {
        Number = "T-0417",
        CalibratedOn = new(2031, 3, 2),
        DueOn = new(2032, 3, 2),
        Points = [new(100, 0.2, 0.3), new(220, -0.4, 0.5), new(240, -0.5, 0.5)],
    };

    public static readonly RunPlan Plan = new()
    {
        Method = Method,
        ExpectedFlashCelsius = 226,
        StationPressureKilopascals = 97.3,
        HasFlameSignal = true,
        Thermometer = ThermometerChain.Plain with { Calibration = Certificate },
    };

    /// <summary>All that a laboratory can state, but its repeatability.</summary>
    public static readonly LaboratoryFigures Figures = new()
    {
        BarometerLimitKilopascals = 0.3,
        CoefficientLimitCelsiusPerKilopascal = 0.05,
        DriftLimitCelsius = 0.3,
        ResolutionCelsius = 0.1,
        LagResidualCelsius = 0.4,
        RampSensitivityCelsiusPerCelsiusPerMinute = 1,
    };

    /// <summary>Flash at 226 °C and 97.3 kPa, 2 °C after the application before; fire at 252 °C.</summary>
    public static readonly RunResult Valid = new(
        Verdict.Valid,
        new(226, 227, 227, 700),
        new(252, 253, 253, 990),
        97.3,
        [Pass(1, 656, 222, false), Pass(2, 678, 224, false), Pass(3, 699.5, 226, true), Pass(4, 968, 250.5, true), Pass(5, 989.5, 252, true)],
        []);

    public static Application Pass(int number, double seconds, double celsius, bool flash) => new(number, seconds, celsius, 1, ApplicationEvidence.FlameSignal, flash, flash ? 60 : 1);

    public static RunResult Invalid(params Finding[] findings) =>
        Valid with { Verdict = Verdict.Invalid, Flash = new(226, 227, null, 700), Fire = null, Findings = findings };

    public static Finding Found(string code, FindingWeight weight, double? value, double? limit = null, string text = "Something happened. Do something.") =>
        new(code, weight, 700, 226, value, limit, text);
}
