namespace Acquire.Core.Detection;

/// <summary>One idea of all that a window may show besides a flash: its covariance, in units of what is slow.</summary>
/// <remarks>
/// Offset and drift are free. The course of the passes before may be larger or smaller and come sooner or later. What is left of
/// pass and halo is a smooth process of unknown course with the covariance a²·exp(-Δt²/2ℓ²); a draught that makes flame and
/// plume flicker is one of shorter ℓ. Noise is what the quiet detector showed.
/// </remarks>
/// <param name="Slow">Deviation a of the smooth process, in units of the largest slow height.</param>
/// <param name="SlowSeconds">Its ℓ, s.</param>
/// <param name="Flicker">Deviation of the flicker, in deviations of one quiet reading.</param>
internal readonly record struct NuisanceCourse(double Slow, double SlowSeconds, double Flicker)
{
    // Flicker of a flame in a draught is slower than some five a second: this ℓ has 95 % of its variance below 3 Hz.
    private const double FlickerSeconds = 0.1;

    // Offset and drift: ten times the height of anything slow, and as much per second.
    private const double Free = 100;

    // The course of the passes before comes half as high again at most, and some 40 ms sooner or later.
    private const double SizeVariance = 0.25;

    // Below this the covariance is lost in its own rounding.
    private const double LeastNoise = 1e-5;

    /// <summary>Fills the lower triangle of a covariance, row by row.</summary>
    /// <param name="points">The window.</param>
    /// <param name="question">What is asked.</param>
    /// <param name="covariance">Room for n × n values.</param>
    public void Fill(WindowPoints points, in FlashQuestion question, Span<double> covariance)
    {
        var n = points.Count;
        var unit = question.SlowHeight * question.SlowHeight;
        var share = 1 + question.KnownShare;
        var least = Math.Max(question.LeastNoise / question.SlowHeight, LeastNoise);
        var white = Math.Max(least * least, share * question.Noise.White / unit);
        var times = points.Times;
        var middle = (times[0] + times[n - 1]) / 2;
        var table = points.Table;
        var spacing = points.SpacingSeconds;
        for (var k = 0; points.Even && k < n; k++)
        {
            table[k] = At(k * spacing, question, unit, share) + Free;
        }

        for (var i = 0; i < n; i++)
        {
            var row = covariance.Slice(i * n, i + 1);
            var fromMiddle = Free * (times[i] - middle);
            for (var j = 0; j <= i; j++)
            {
                row[j] = (points.Even ? table[i - j] : At(times[i] - times[j], question, unit, share) + Free) + (fromMiddle * (times[j] - middle));
            }

            if (points.HasKnown)
            {
                var (size, shift) = (SizeVariance * points.Known[i], points.Shift[i]);
                for (var j = 0; j <= i; j++)
                {
                    row[j] += (size * points.Known[j]) + (shift * points.Shift[j]);
                }
            }

            row[i] += white / points.Weights[i];
        }
    }

    // Covariance of all that does not depend on when it is, readings so far apart.
    private double At(double lag, in FlashQuestion question, double unit, double share)
    {
        var (slow, quick) = (lag / SlowSeconds, lag / FlickerSeconds);
        var noise = share * (question.Noise.Covariance(lag) - (0.5 * question.Noise.Walk * lag)) / unit;
        var flicker = Flicker * Flicker * share * question.Noise.Variance / unit;
        return (Slow * Slow * Math.Exp(-0.5 * slow * slow)) + (flicker * Math.Exp(-0.5 * quick * quick)) + noise;
    }
}
