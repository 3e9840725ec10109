namespace Acquire.Core.Thermometry;

/// <summary>The corrections of a certificate, for any reading.</summary>
public sealed class CalibrationCurve
{
    private readonly double[] _readings;
    private readonly double[] _corrections;
    private readonly double[] _uncertainties;

    // Null for straight lines.
    private readonly double[]? _slopes;

    /// <summary>Prepares a certificate for use.</summary>
    /// <param name="certificate">A certificate in which <see cref="Check"/> finds nothing wrong.</param>
    /// <exception cref="ArgumentException">The certificate was not checked.</exception>
    public CalibrationCurve(CalibrationCertificate certificate)
    {
        ArgumentNullException.ThrowIfNull(certificate);
        if (Check(certificate) is [var error, ..])
        {
            throw new ArgumentException(error.ToString(), nameof(certificate));
        }

        _readings = [.. certificate.Points.Select(p => p.ReadingCelsius)];
        _corrections = [.. certificate.Points.Select(p => p.CorrectionCelsius)];
        _uncertainties = [.. certificate.Points.Select(p => p.ExpandedUncertaintyCelsius)];
        _slopes = certificate.Interpolation == CalibrationInterpolation.MonotoneCubic ? MonotoneSlopes.Through(_readings, _corrections) : null;
    }

    /// <summary>What is wrong with a certificate; empty where nothing is. Paths begin with `calibration`.</summary>
    /// <param name="certificate">The certificate.</param>
    public static IReadOnlyList<InputError> Check(CalibrationCertificate certificate)
    {
        ArgumentNullException.ThrowIfNull(certificate);
        return CalibrationRules.Check(certificate);
    }

    /// <summary>Whether a certificate may be relied on on a day.</summary>
    /// <param name="certificate">The certificate.</param>
    /// <param name="day">The day, in the laboratory's calendar.</param>
    public static CalibrationTerm StandingOn(CalibrationCertificate certificate, DateOnly day)
    {
        ArgumentNullException.ThrowIfNull(certificate);
        var left = certificate.DueOn.DayNumber - day.DayNumber;
        var standing = day < certificate.CalibratedOn ? CalibrationStanding.NotYetValid
            : left < 0 ? CalibrationStanding.Overdue
            : left <= certificate.WarnDays ? CalibrationStanding.DueSoon
            : CalibrationStanding.Valid;
        return new(standing, left);
    }

    /// <summary>The correction for a reading.</summary>
    /// <param name="readingCelsius">Reading, °C.</param>
    /// <remarks>
    /// Beyond the calibrated span the nearest point's figures are given and marked, never extrapolated: nobody certified a trend.
    /// Between two points the uncertainty is theirs, interpolated linearly. An interpolated correction is a weighted mean of
    /// theirs, and however strongly the two errors go together (they mostly share one reference thermometer), the
    /// uncertainty of a weighted mean cannot exceed the mean of the uncertainties with the same weights. What the
    /// thermometer itself does between its points is not in any certificate, and not in this figure.
    /// </remarks>
    public CalibrationAnswer At(double readingCelsius)
    {
        if (double.IsNaN(readingCelsius))
        {
            return new(double.NaN, double.NaN, true);
        }

        var last = _readings.Length - 1;
        if (readingCelsius <= _readings[0])
        {
            return new(_corrections[0], _uncertainties[0], readingCelsius < _readings[0]);
        }

        if (readingCelsius >= _readings[last])
        {
            return new(_corrections[last], _uncertainties[last], readingCelsius > _readings[last]);
        }

        var found = Array.BinarySearch(_readings, readingCelsius);
        if (found >= 0)
        {
            return new(_corrections[found], _uncertainties[found], false);
        }

        var left = ~found - 1;
        var share = (readingCelsius - _readings[left]) / (_readings[left + 1] - _readings[left]);
        var uncertainty = Between(_uncertainties[left], _uncertainties[left + 1], share);
        return new(_slopes is null ? Between(_corrections[left], _corrections[left + 1], share) : Cubic(_slopes, left, share), uncertainty, false);
    }

    private static double Between(double a, double b, double share) => ((1 - share) * a) + (share * b);

    // Hermite's cubic, as the straight line plus what bends it: exact at both points, and for straight data the line itself.
    private double Cubic(double[] slopes, int left, double share)
    {
        var width = _readings[left + 1] - _readings[left];
        var rise = _corrections[left + 1] - _corrections[left];
        var bendLeft = (slopes[left] * width) - rise;
        var bendRight = (slopes[left + 1] * width) - rise;
        var rest = 1 - share;
        var line = Between(_corrections[left], _corrections[left + 1], share);
        var value = line + (share * rest * ((bendLeft * rest) - (bendRight * share)));

        // Rounding must not carry it beyond its points either.
        return Math.Clamp(value, Math.Min(_corrections[left], _corrections[left + 1]), Math.Max(_corrections[left], _corrections[left + 1]));
    }
}
