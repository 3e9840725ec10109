using Acquire.Core.Thermometry;
using CsCheck;
using MathNet.Numerics.Interpolation;
using Xunit;

namespace Acquire.Core.Tests.Thermometry;

public sealed class CalibrationCurveTests
{
    private static readonly CalibrationCertificate Good = new()
    {
        Number = "K-2026-0417",
        CalibratedOn = new(2026, 3, 2),
        DueOn = new(2027, 3, 2),
        Points = [new(0, 0.02, 0.05), new(100, -0.11, 0.08), new(200, -0.35, 0.12), new(300, -0.42, 0.2)],
    };

    private static readonly CalibrationCertificate Smooth = Good with { Interpolation = CalibrationInterpolation.MonotoneCubic };

    // Certificates of 2 to 12 points whose corrected readings ascend.
    private static readonly Gen<CalibrationCertificate> Certificates =
        Gen.Select(Gen.Double[0.5, 13], Gen.Double[-0.3, 0.3], Gen.Double[0.01, 0.5]).Array[2, 12].Select(steps =>
        {
            var points = new List<CalibrationPoint>();
            double reading = -30, correction = 0.1;
            foreach (var (step, slope, uncertainty) in steps)
            {
                reading += step;
                correction += slope * step;
                points.Add(new(reading, correction, uncertainty));
            }

            return Smooth with { Points = points };
        });

    private static double[] Slopes(IReadOnlyList<CalibrationPoint> points) =>
        MonotoneSlopes.Through([.. points.Select(p => p.ReadingCelsius)], [.. points.Select(p => p.CorrectionCelsius)]);

    [Theory]
    [InlineData(CalibrationInterpolation.Linear)]
    [InlineData(CalibrationInterpolation.MonotoneCubic)]
    public void The_points_themselves_come_out_exactly(CalibrationInterpolation interpolation)
    {
        Certificates.Sample(certificate =>
        {
            var curve = new CalibrationCurve(certificate with { Interpolation = interpolation });
            Assert.All(certificate.Points, p => Assert.Equal(new(p.CorrectionCelsius, p.ExpandedUncertaintyCelsius, false), curve.At(p.ReadingCelsius)));
        }, iter: 200);
    }

    [Fact]
    public void Between_two_points_the_correction_lies_on_their_straight_line()
    {
        var curve = new CalibrationCurve(Good);

        Assert.Equal(0.02 - (0.25 * 0.13), curve.At(25).CorrectionCelsius, tolerance: 1e-12);
        Assert.Equal(-0.385, curve.At(250).CorrectionCelsius, tolerance: 1e-12);
    }

    [Theory]
    [InlineData(CalibrationInterpolation.Linear)]
    [InlineData(CalibrationInterpolation.MonotoneCubic)]
    public void Beyond_the_span_the_nearest_point_holds_and_is_marked(CalibrationInterpolation interpolation)
    {
        var curve = new CalibrationCurve(Good with { Interpolation = interpolation });

        Assert.Equal(new(0.02, 0.05, true), curve.At(-0.001));
        Assert.Equal(new(-0.42, 0.2, true), curve.At(1000));
        Assert.Equal(new(-0.42, 0.2, true), curve.At(double.PositiveInfinity));
        Assert.True(curve.At(double.NaN).Outside);
        Assert.True(double.IsNaN(curve.At(double.NaN).CorrectionCelsius));
    }

    [Fact]
    public void A_single_point_covers_its_own_reading_only()
    {
        var curve = new CalibrationCurve(Smooth with { Points = [new(100, -0.1, 0.05)] });

        Assert.Equal(new(-0.1, 0.05, false), curve.At(100));
        Assert.Equal(new(-0.1, 0.05, true), curve.At(99.9));
        Assert.Equal(new(-0.1, 0.05, true), curve.At(100.1));
    }

    [Fact]
    public void Uncertainty_between_points_never_falls_below_what_common_errors_of_both_would_give()
    {
        // Fully common errors: the interpolated correction errs by the interpolated error.
        Gen.Select(Certificates, Gen.Double[0, 1]).Sample((certificate, at) =>
        {
            var curve = new CalibrationCurve(certificate);
            var (left, right) = (certificate.Points[0], certificate.Points[1]);
            var answer = curve.At(left.ReadingCelsius + (at * (right.ReadingCelsius - left.ReadingCelsius)));
            var common = ((1 - at) * left.ExpandedUncertaintyCelsius) + (at * right.ExpandedUncertaintyCelsius);
            Assert.Equal(common, answer.ExpandedUncertaintyCelsius, tolerance: 1e-9);
        });
    }

    [Fact]
    public void The_cubic_never_goes_beyond_its_points_and_never_turns_between_them()
    {
        Certificates.Sample(certificate =>
        {
            var curve = new CalibrationCurve(certificate);
            foreach (var (left, right) in certificate.Points.Zip(certificate.Points.Skip(1)))
            {
                var direction = Math.Sign(right.CorrectionCelsius - left.CorrectionCelsius);
                var before = left.CorrectionCelsius;
                for (var i = 1; i <= 50; i++)
                {
                    var now = curve.At(left.ReadingCelsius + ((right.ReadingCelsius - left.ReadingCelsius) * i / 50)).CorrectionCelsius;
                    Assert.InRange(now, Math.Min(left.CorrectionCelsius, right.CorrectionCelsius) - 1e-12, Math.Max(left.CorrectionCelsius, right.CorrectionCelsius) + 1e-12);
                    Assert.True((now - before) * direction >= -1e-12);
                    before = now;
                }
            }
        }, iter: 300);
    }

    [Fact]
    public void For_straight_data_the_cubic_is_the_straight_line()
    {
        var points = Enumerable.Range(0, 8).Select(i => new CalibrationPoint(i * i * 7, 0.5 - (0.004 * i * i * 7), 0.1)).ToList();
        var straight = new CalibrationCurve(Good with { Points = points });
        var cubic = new CalibrationCurve(Smooth with { Points = points });

        Gen.Double[0, 343].Sample(reading => Assert.Equal(straight.At(reading).CorrectionCelsius, cubic.At(reading).CorrectionCelsius, tolerance: 1e-12));
    }

    [Fact]
    public void For_a_gentle_parabola_the_cubic_is_the_parabola()
    {
        // The starting slopes are a parabola's; where the limit does not bite they stay.
        double Parabola(double t) => -1e-5 * (t + 200) * (t + 200);
        var points = new double[] { 0, 40, 100, 150, 220, 300 }.Select(t => new CalibrationPoint(t, Parabola(t), 0.1)).ToList();
        var curve = new CalibrationCurve(Smooth with { Points = points });

        Gen.Double[0, 300].Sample(reading => Assert.Equal(Parabola(reading), curve.At(reading).CorrectionCelsius, tolerance: 1e-12));
    }

    [Fact]
    public void The_cubic_is_smooth_at_its_points()
    {
        Certificates.Sample(certificate =>
        {
            var curve = new CalibrationCurve(certificate);
            var slopes = Slopes(certificate.Points);
            for (var i = 1; i < slopes.Length - 1; i++)
            {
                const double step = 1e-5;
                var at = certificate.Points[i].ReadingCelsius;
                var here = certificate.Points[i].CorrectionCelsius;
                Assert.Equal(slopes[i], (here - curve.At(at - step).CorrectionCelsius) / step, tolerance: 1e-3);
                Assert.Equal(slopes[i], (curve.At(at + step).CorrectionCelsius - here) / step, tolerance: 1e-3);
            }
        }, iter: 200);
    }

    [Fact]
    public void An_independent_library_gives_the_same_cubic_for_the_same_slopes()
    {
        Gen.Select(Certificates, Gen.Double[0, 1]).Sample((certificate, at) =>
        {
            var x = certificate.Points.Select(p => p.ReadingCelsius).ToArray();
            var oracle = CubicSpline.InterpolateHermiteSorted(x, [.. certificate.Points.Select(p => p.CorrectionCelsius)], Slopes(certificate.Points));
            var reading = x[0] + (at * (x[^1] - x[0]));
            Assert.Equal(oracle.Interpolate(reading), new CalibrationCurve(certificate).At(reading).CorrectionCelsius, tolerance: 1e-9);
        });
    }

    [Fact]
    public void The_published_example_of_steep_and_flat_data_stays_monotone()
    {
        // Data set RPN 14 of Fritsch and Carlson 1980: value from memory.
        double[] x = [7.99, 8.09, 8.19, 8.7, 9.2, 10, 12, 15, 20];
        double[] y = [0, 2.76429e-5, 4.37498e-2, 0.169183, 0.469428, 0.943740, 0.998636, 0.999919, 0.999994];
        var curve = new CalibrationCurve(Smooth with { Points = [.. x.Zip(y, (reading, correction) => new CalibrationPoint(reading, correction, 0.1))] });
        var values = Enumerable.Range(0, 12_011).Select(i => curve.At(7.99 + (i * 0.001)).CorrectionCelsius).ToList();

        Assert.Equal(values.Order(), values);
        Assert.InRange(values[0], 0, 0);
        Assert.Equal(0.999994, values[^1], tolerance: 1e-9);

        // The plain cubic spline overshoots here, which is why it is not used.
        var spline = CubicSpline.InterpolateNaturalSorted(x, y);
        Assert.True(Enumerable.Range(0, 12_011).Max(i => spline.Interpolate(7.99 + (i * 0.001))) > 1.0);
    }

    [Fact]
    public void An_unchecked_certificate_is_a_mistake_of_the_program() =>
        Assert.Throws<ArgumentException>(() => new CalibrationCurve(Good with { Points = [] }));
}
