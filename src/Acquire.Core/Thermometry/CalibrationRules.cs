using System.Globalization;

namespace Acquire.Core.Thermometry;

/// <summary>The ranges within which a certificate's figures make sense.</summary>
internal static class CalibrationRules
{
    public const double ColdestCelsius = -273.15;
    public const double HottestCelsius = 1500;
    public const double MostCorrectionCelsius = 50;
    public const double MostUncertaintyCelsius = 50;

    public static IReadOnlyList<InputError> Check(CalibrationCertificate c)
    {
        var errors = new List<InputError>();
        if (string.IsNullOrWhiteSpace(c.Number) || c.Number.Length > 80)
        {
            errors.Add(new("calibration.number", "is not of 1 to 80 characters"));
        }

        if (c.DueOn <= c.CalibratedOn)
        {
            errors.Add(new("calibration.dueOn", $"{Show(c.DueOn)} is not later than calibratedOn {Show(c.CalibratedOn)}"));
        }

        Number(errors, "calibration.warnDays", c.WarnDays, 0, 365);
        Number(errors, "calibration.coverageFactor", c.CoverageFactor, 1, 4);
        if (!Enum.IsDefined(c.Interpolation))
        {
            errors.Add(new("calibration.interpolation", "is not linear or monotone-cubic"));
        }

        // Files can say null where the type does not.
        if (c.Points is not { Count: >= 1 and <= CalibrationCertificate.MostPoints } points)
        {
            errors.Add(new("calibration.points", $"{c.Points?.Count ?? 0} points are not within 1 to {CalibrationCertificate.MostPoints}"));
            return errors;
        }

        CalibrationPoint? before = null;
        for (var i = 0; i < points.Count; i++)
        {
            before = Point(errors, $"calibration.points[{i}]", before, points[i]);
        }

        return errors;
    }

    // Gives the point back where its figures can be compared with those of the next: one mistake is one error.
    private static CalibrationPoint? Point(List<InputError> errors, string path, CalibrationPoint? before, CalibrationPoint? point)
    {
        if (point is null)
        {
            errors.Add(new(path, "is missing"));
            return null;
        }

        var count = errors.Count;
        Number(errors, path + ".readingCelsius", point.ReadingCelsius, ColdestCelsius, HottestCelsius);
        Number(errors, path + ".correctionCelsius", point.CorrectionCelsius, -MostCorrectionCelsius, MostCorrectionCelsius);
        if (!(point.ExpandedUncertaintyCelsius is > 0 and <= MostUncertaintyCelsius))
        {
            errors.Add(new(path + ".expandedUncertaintyCelsius", $"{Show(point.ExpandedUncertaintyCelsius)} is not above 0 and up to {Show(MostUncertaintyCelsius)}"));
        }

        if (errors.Count > count)
        {
            return null;
        }

        if (before is null)
        {
            return point;
        }

        if (point.ReadingCelsius <= before.ReadingCelsius)
        {
            errors.Add(new(path + ".readingCelsius", $"{Show(point.ReadingCelsius)} is not above {Show(before.ReadingCelsius)} of the point before"));
        }
        else if (point.ReadingCelsius + point.CorrectionCelsius <= before.ReadingCelsius + before.CorrectionCelsius)
        {
            // A thermometer whose corrected readings fall while the temperature rises: a sign or a column was mixed up.
            errors.Add(new(path + ".correctionCelsius", $"{Show(point.CorrectionCelsius)} makes the corrected reading {Show(point.ReadingCelsius + point.CorrectionCelsius)}, which is not above {Show(before.ReadingCelsius + before.CorrectionCelsius)} of the point before"));
        }

        return point;
    }

    private static void Number(List<InputError> errors, string path, double value, double least, double most)
    {
        if (!(value >= least && value <= most))
        {
            errors.Add(new(path, $"{Show(value)} is not within {Show(least)} to {Show(most)}"));
        }
    }

    private static string Show(double value) => value.ToString("0.######", CultureInfo.InvariantCulture);

    private static string Show(DateOnly day) => day.ToString("O", CultureInfo.InvariantCulture);
}
