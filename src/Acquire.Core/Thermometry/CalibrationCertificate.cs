using System.Text.Json.Serialization;

namespace Acquire.Core.Thermometry;

/// <summary>How a correction is found between two calibrated points.</summary>
[JsonConverter(typeof(JsonStringEnumConverter<CalibrationInterpolation>))]
public enum CalibrationInterpolation
{
    /// <summary>Straight lines.</summary>
    [JsonStringEnumMemberName("linear")]
    Linear,

    /// <summary>A monotone piecewise cubic (Fritsch and Carlson 1980): smooth, and never beyond the points on either side.</summary>
    [JsonStringEnumMemberName("monotone-cubic")]
    MonotoneCubic,
}

/// <summary>One point of a certificate.</summary>
/// <param name="ReadingCelsius">What the thermometer showed, °C, -273.15 to 1500.</param>
/// <param name="CorrectionCelsius">What is to be added to it, °C, -50 to 50.</param>
/// <param name="ExpandedUncertaintyCelsius">Expanded uncertainty of the correction, °C; above 0, up to 50.</param>
public sealed record CalibrationPoint(double ReadingCelsius, double CorrectionCelsius, double ExpandedUncertaintyCelsius);

/// <summary>What a calibration laboratory certified, as data.</summary>
public sealed record CalibrationCertificate
{
    /// <summary>Most points a certificate may hold.</summary>
    public const int MostPoints = 200;

    /// <summary>Number of the certificate; 1 to 80 characters.</summary>
    public required string Number { get; init; }

    /// <summary>Day of the calibration.</summary>
    public required DateOnly CalibratedOn { get; init; }

    /// <summary>Day on which the next calibration is due; from the day after, it is overdue. Later than <see cref="CalibratedOn"/>.</summary>
    public required DateOnly DueOn { get; init; }

    /// <summary>Days before <see cref="DueOn"/> from which it is pointed out; 0 to 365.</summary>
    public int WarnDays { get; init; } = 30;

    /// <summary>Coverage factor of the expanded uncertainties; 1 to 4.</summary>
    public double CoverageFactor { get; init; } = 2;

    /// <summary>How a correction is found between two points.</summary>
    public CalibrationInterpolation Interpolation { get; init; } = CalibrationInterpolation.Linear;

    /// <summary>The points, readings ascending; 1 to <see cref="MostPoints"/>. With a single point only that reading is calibrated.</summary>
    public required IReadOnlyList<CalibrationPoint> Points { get; init; }
}
