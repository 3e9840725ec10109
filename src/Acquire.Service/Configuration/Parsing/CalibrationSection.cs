using Acquire.Core.Readings;
using Acquire.Core.Thermometry;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads a certificate of calibration. Whether its days and points are in order is for <see cref="ThermometerRules"/> to say.</summary>
internal static class CalibrationSection
{
    private const double LargestCelsius = 50;

    private static readonly Dictionary<string, CalibrationInterpolation> Interpolations = new()
    {
        ["linear"] = CalibrationInterpolation.Linear,
        ["monotone-cubic"] = CalibrationInterpolation.MonotoneCubic,
    };

    public static CalibrationCertificate Read(ConfigObject section)
    {
        section.TryChoice("interpolation", Interpolations, "linear", out var interpolation);
        var calibratedOn = section.Day("calibratedOn");
        var dueOn = section.Day("dueOn");
        var certificate = new CalibrationCertificate
        {
            Number = section.Text("number", null, 80) ?? "",
            CalibratedOn = calibratedOn ?? default,
            DueOn = dueOn ?? default,
            WarnDays = section.Whole("warnDays", 0, 365, 30),
            CoverageFactor = section.Number("coverageFactor", 1, 4, "(2 covers about 95 %)", optional: true) ?? 2,
            Interpolation = interpolation,
            Points = ReadPoints(section),
        };
        section.RefuseUnknownKeys();
        return certificate;
    }

    private static List<CalibrationPoint> ReadPoints(ConfigObject section)
    {
        var points = new List<CalibrationPoint>();
        foreach (var point in section.Sections("points", 1, CalibrationCertificate.MostPoints))
        {
            var reading = point.Number("readingCelsius", ReadingRow.LowestCelsius, ReadingRow.HighestCelsius, "°C", optional: false);
            var correction = point.Number("correctionCelsius", -LargestCelsius, LargestCelsius, "°C", optional: false);
            var uncertainty = point.Number("expandedUncertaintyCelsius", 0, LargestCelsius, "°C", optional: false);
            point.RefuseUnknownKeys();
            points.Add(new(reading ?? 0, correction ?? 0, uncertainty ?? 0));
        }

        return points;
    }
}
