using Acquire.Benchmarks.Campaigns.Flash;

namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>The true covariance of all but the flash in the readings about one pass of a scene; both detectors together where there are two.</summary>
/// <remarks>
/// Noise in closed form; pass and halo from draws of their places, widths and heights; a draught as known to be there or not.
/// Hum and wild readings are taken as known, so what follows from it is a bound that no detector passes.
/// </remarks>
internal sealed class SceneCovariance
{
    private const double HalfWindowSeconds = 1.5;
    private const double LeastSpacingSeconds = 0.004;
    private const int Draws = 200;

    private readonly SceneOptions options;
    private readonly int perPoint;
    private readonly double spacing;
    private readonly int points;
    private readonly int detectors;

    public SceneCovariance(SceneOptions options)
    {
        this.options = options;
        perPoint = Math.Max(1, (int)Math.Round(LeastSpacingSeconds * options.RowsPerSecond));
        spacing = perPoint / options.RowsPerSecond;
        points = (int)(2 * HalfWindowSeconds / spacing) + 1;
        detectors = options.Two ? 2 : 1;
        Size = points * detectors;
    }

    /// <summary>Readings, or means of neighbouring ones at high rates, of all detectors.</summary>
    public int Size { get; }

    /// <summary>The course of a signal pair in all readings; the pass is centred on 0.</summary>
    public double[] Course(SceneSignal first, SceneSignal second)
    {
        // Drawn at the real rate and averaged, as the readings are.
        var times = new double[points * perPoint];
        for (var i = 0; i < times.Length; i++)
        {
            times[i] = ((i - (times.Length / 2)) / options.RowsPerSecond) + 1e-6;
        }

        var course = new double[Size];
        for (var d = 0; d < detectors; d++)
        {
            var values = new double[times.Length];
            (d == 0 ? first : second).AddTo(values, times, 0, times.Length - 1, d == 0 ? 0 : PassScene.SecondLagSeconds);
            for (var i = 0; i < values.Length; i++)
            {
                course[(d * points) + (i / perPoint)] += values[i] / perPoint;
            }
        }

        return course;
    }

    /// <summary>The covariance, row by row, lower triangle.</summary>
    /// <param name="random">Draws passes and halos.</param>
    /// <param name="halo">Share of the largest halo; null where it may be any.</param>
    /// <param name="coupling">Share of it that the deciding detector sees.</param>
    /// <param name="draughty">Whether there is a draught.</param>
    public double[] Matrix(SceneRandom random, double? halo, double coupling, bool draughty)
    {
        var matrix = new double[Size * Size];
        AddNoise(matrix, draughty);
        var courses = new double[Draws][];
        var mean = new double[Size];
        for (var k = 0; k < Draws; k++)
        {
            var pass = new ScenePass(-PassScene.PassSeconds / 2, PassScene.PassSeconds / 2, halo ?? random.Unit());
            var (first, second) = PassScene.DrawSignals(pass, options with { DraughtShare = 0 }, random, flashes: false, coupling);
            courses[k] = Course(first, second);
            for (var i = 0; i < Size; i++)
            {
                mean[i] += courses[k][i] / Draws;
            }
        }

        foreach (var course in courses)
        {
            AddSquare(matrix, course, mean);
        }

        return matrix;
    }

    private void AddSquare(double[] matrix, double[] course, double[] mean)
    {
        for (var i = 0; i < Size; i++)
        {
            course[i] = (course[i] - mean[i]) / Math.Sqrt(Draws - 1);
        }

        for (var i = 0; i < Size; i++)
        {
            var value = course[i];
            var row = matrix.AsSpan(i * Size, i + 1);
            for (var j = 0; j <= i; j++)
            {
                row[j] += value * course[j];
            }
        }
    }

    private void AddNoise(double[] matrix, bool draughty)
    {
        var table = new double[points];
        for (var k = 0; k < points; k++)
        {
            table[k] = Noise(k * spacing, draughty);
        }

        for (var i = 0; i < Size; i++)
        {
            for (var j = i - (i % points); j <= i; j++)
            {
                matrix[(i * Size) + j] = table[i - j];
            }

            matrix[(i * Size) + i] += options.WhiteShare / perPoint;
        }
    }

    // Memory, drift, and waves of 1 to 4 Hz, as many of each frequency. The drift has a rate that forgets itself at rate b and is
    // pulled back at rate a: its spectrum 2σ²b/((a² + ω²)(b² + ω²)) is the difference of two of the usual kind.
    private double Noise(double lag, bool draughty)
    {
        var memory = (1 - options.WhiteShare) * Math.Exp(-lag / options.MemorySeconds);
        const double a = 1 / SceneOptions.DriftPullSeconds, b = 1 / PassScene.DriftSeconds;
        var drift = options.DriftSigma * options.DriftSigma * b / ((b * b) - (a * a)) * ((Math.Exp(-a * lag) / a) - (Math.Exp(-b * lag) / b));
        var angle = 2 * Math.PI * lag;
        var waves = lag == 0 ? 1 : (Math.Sin(4 * angle) - Math.Sin(angle)) / (3 * angle);
        return memory + drift + (draughty ? options.DraughtSigma * options.DraughtSigma * waves : 0);
    }
}
