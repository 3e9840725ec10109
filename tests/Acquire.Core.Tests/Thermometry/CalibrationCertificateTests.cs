using Acquire.Core.Thermometry;
using Xunit;

namespace Acquire.Core.Tests.Thermometry;

public sealed class CalibrationCertificateTests
{
    private static readonly CalibrationCertificate Good = new()
    {
        Number = "K-2026-0417",
        CalibratedOn = new(2026, 3, 2),
        DueOn = new(2027, 3, 2),
        Points = [new(0, 0.02, 0.05), new(100, -0.11, 0.08), new(200, -0.35, 0.12)],
    };

    private static CalibrationCertificate WithPoint(int index, CalibrationPoint? point)
    {
        var points = Good.Points.ToList();
        points[index] = point!;
        return Good with { Points = points };
    }

    private static InputError OnlyError(CalibrationCertificate certificate) => Assert.Single(CalibrationCurve.Check(certificate));

    [Fact]
    public void A_good_certificate_has_no_errors()
    {
        Assert.Empty(CalibrationCurve.Check(Good));
        Assert.Empty(CalibrationCurve.Check(Good with { Points = [.. Enumerable.Range(0, 200).Select(i => new CalibrationPoint(i, 0.1, 0.05))] }));
    }

    [Theory]
    [InlineData(-273.2)]
    [InlineData(1500.1)]
    [InlineData(double.NaN)]
    public void A_reading_out_of_range_is_named(double reading) =>
        Assert.Equal("calibration.points[2].readingCelsius", OnlyError(WithPoint(2, new(reading, 0, 0.1))).Path);

    [Theory]
    [InlineData(50.1)]
    [InlineData(-50.1)]
    [InlineData(double.PositiveInfinity)]
    [InlineData(double.NaN)]
    public void A_correction_out_of_range_is_named(double correction)
    {
        var error = OnlyError(WithPoint(1, new(100, correction, 0.1)));

        Assert.Equal("calibration.points[1].correctionCelsius", error.Path);
        Assert.Contains("-50 to 50", error.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(-0.1)]
    [InlineData(50.1)]
    [InlineData(double.NaN)]
    public void An_uncertainty_out_of_range_is_named(double uncertainty) =>
        Assert.Equal("calibration.points[0].expandedUncertaintyCelsius", OnlyError(WithPoint(0, new(0, 0, uncertainty))).Path);

    [Theory]
    [InlineData(100)]
    [InlineData(99)]
    public void Readings_that_do_not_ascend_are_named(double reading) =>
        Assert.Equal("calibration.points[2].readingCelsius", OnlyError(WithPoint(2, new(reading, -0.35, 0.12))).Path);

    [Fact]
    public void Corrected_readings_that_fall_are_named()
    {
        var error = OnlyError(Good with { Points = [new(0, 0, 0.1), new(10, -12, 0.1)] });

        Assert.Equal("calibration.points[1].correctionCelsius", error.Path);
        Assert.Contains("-2", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Too_few_and_too_many_points_are_named()
    {
        Assert.Equal("calibration.points", OnlyError(Good with { Points = [] }).Path);
        Assert.Equal("calibration.points", OnlyError(Good with { Points = null! }).Path);
        Assert.Equal("calibration.points", OnlyError(Good with { Points = [.. Enumerable.Range(0, 201).Select(i => new CalibrationPoint(i, 0, 0.1))] }).Path);
        Assert.Equal("calibration.points[1]", OnlyError(WithPoint(1, null)).Path);
    }

    [Fact]
    public void What_is_not_a_point_is_named_too()
    {
        Assert.Equal("calibration.number", OnlyError(Good with { Number = " " }).Path);
        Assert.Equal("calibration.number", OnlyError(Good with { Number = new string('9', 81) }).Path);
        Assert.Equal("calibration.dueOn", OnlyError(Good with { DueOn = Good.CalibratedOn }).Path);
        Assert.Equal("calibration.warnDays", OnlyError(Good with { WarnDays = 366 }).Path);
        Assert.Equal("calibration.warnDays", OnlyError(Good with { WarnDays = -1 }).Path);
        Assert.Equal("calibration.coverageFactor", OnlyError(Good with { CoverageFactor = 0.9 }).Path);
        Assert.Equal("calibration.coverageFactor", OnlyError(Good with { CoverageFactor = double.NaN }).Path);
        Assert.Equal("calibration.interpolation", OnlyError(Good with { Interpolation = (CalibrationInterpolation)7 }).Path);
    }

    [Fact]
    public void All_errors_come_at_once()
    {
        var bad = Good with { Number = "", WarnDays = 999, Points = [new(0, 99, 0), new(10, double.NaN, 0.1)] };

        Assert.Equal(
            ["calibration.number", "calibration.warnDays", "calibration.points[0].correctionCelsius", "calibration.points[0].expandedUncertaintyCelsius", "calibration.points[1].correctionCelsius"],
            CalibrationCurve.Check(bad).Select(e => e.Path));
    }

    [Theory]
    [InlineData("2026-03-01", CalibrationStanding.NotYetValid, 366)]
    [InlineData("2026-03-02", CalibrationStanding.Valid, 365)]
    [InlineData("2027-01-30", CalibrationStanding.Valid, 31)]
    [InlineData("2027-01-31", CalibrationStanding.DueSoon, 30)]
    [InlineData("2027-03-02", CalibrationStanding.DueSoon, 0)]
    [InlineData("2027-03-03", CalibrationStanding.Overdue, -1)]
    [InlineData("2028-03-02", CalibrationStanding.Overdue, -366)]
    public void Standing_goes_by_the_day(string day, CalibrationStanding standing, int days) =>
        Assert.Equal(new(standing, days), CalibrationCurve.StandingOn(Good, DateOnly.ParseExact(day, "O", System.Globalization.CultureInfo.InvariantCulture)));
}
