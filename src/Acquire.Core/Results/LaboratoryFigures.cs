using System.Globalization;

namespace Acquire.Core.Results;

/// <summary>Scatter of a laboratory's own repeated determinations.</summary>
/// <param name="StandardDeviationCelsius">Standard deviation of single results, as determined, under repeatability conditions, °C; above 0, up to 20.</param>
/// <param name="Results">How many results it comes from; 2 to 1000.</param>
public sealed record LaboratoryRepeatability(double StandardDeviationCelsius, int Results);

/// <summary>What a laboratory knows about its tester and instruments and no stream of readings can tell. What it does not know is null, never 0.</summary>
public sealed record LaboratoryFigures
{
    /// <summary>Nothing is known.</summary>
    public static readonly LaboratoryFigures None = new();

    /// <summary>Limit of the barometer's error, kPa; above 0, up to 5. ISO 2719, clause 6, asks for 0.5.</summary>
    public double? BarometerLimitKilopascals { get; init; }

    /// <summary>Limit of the error of the method's pressure coefficient, °C/kPa; above 0, up to 0.25.</summary>
    public double? CoefficientLimitCelsiusPerKilopascal { get; init; }

    /// <summary>Limit of the thermometer's drift since its calibration, °C; above 0, up to 10.</summary>
    public double? DriftLimitCelsius { get; init; }

    /// <summary>Step of the thermometer's indication, °C; above 0, up to 5.</summary>
    public double? ResolutionCelsius { get; init; }

    /// <summary>Limit of what is left of the thermometer's lag after its correction, or of all of it where it is not corrected, °C; above 0, up to 10.</summary>
    public double? LagResidualCelsius { get; init; }

    /// <summary>Change of the point with the ramp rate, °C per °C/min; its sign does not matter; above 0, up to 10.</summary>
    public double? RampSensitivityCelsiusPerCelsiusPerMinute { get; init; }

    /// <summary>The laboratory's own repeatability; null where it has none.</summary>
    public LaboratoryRepeatability? Repeatability { get; init; }

    /// <summary>Whether the method's repeatability limit stands in where the laboratory has none of its own.</summary>
    public bool TakeMethodRepeatability { get; init; }

    /// <summary>What is wrong with the figures; empty where nothing is.</summary>
    /// <param name="path">Where they are, such as `testers[0].uncertainty`.</param>
    public IReadOnlyList<InputError> Check(string path)
    {
        var errors = new List<InputError>();
        Above0(errors, path + ".barometerLimitKilopascals", BarometerLimitKilopascals, 5, "kPa");
        Above0(errors, path + ".coefficientLimitCelsiusPerKilopascal", CoefficientLimitCelsiusPerKilopascal, 0.25, "°C/kPa");
        Above0(errors, path + ".driftLimitCelsius", DriftLimitCelsius, 10, "°C");
        Above0(errors, path + ".resolutionCelsius", ResolutionCelsius, 5, "°C");
        Above0(errors, path + ".lagResidualCelsius", LagResidualCelsius, 10, "°C");
        Above0(errors, path + ".rampSensitivityCelsiusPerCelsiusPerMinute", RampSensitivityCelsiusPerCelsiusPerMinute, 10, "°C per °C/min");
        Above0(errors, path + ".repeatability.standardDeviationCelsius", Repeatability?.StandardDeviationCelsius, 20, "°C");
        if (Repeatability is { Results: < 2 or > 1000 } repeatability)
        {
            errors.Add(new(path + ".repeatability.results", string.Create(CultureInfo.InvariantCulture, $"{repeatability.Results} results are not within 2 to 1000")));
        }

        if (Repeatability is not null && TakeMethodRepeatability)
        {
            errors.Add(new(path + ".takeMethodRepeatability", "is on although the laboratory states its own repeatability; keep one of the two"));
        }

        return errors;
    }

    private static void Above0(List<InputError> errors, string path, double? value, double most, string unit)
    {
        if (value is { } given && !(given > 0 && given <= most))
        {
            errors.Add(new(path, string.Create(CultureInfo.InvariantCulture, $"{given:0.######} is not above 0 and up to {most:0.##} {unit}; leave it out where it is not known")));
        }
    }
}
