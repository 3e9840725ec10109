using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <summary>Finds the hum of the mains in a quiet detector, folded to whatever frequency the readings make of it, and takes it off. Part of a run's snapshot.</summary>
/// <remarks>
/// Mains have 50 or 60 Hz, kept within some tenths by the grid (common practice, no source); lamps and rectifiers add twice as much. Read so many times a
/// second, a hum of f hertz looks like one of |f - k·rate|. No other line is looked for: what else swings steadily may be a flame.
/// </remarks>
public sealed class MainsHum
{
    // What the grid keeps to, and steps that a stretch of some seconds can tell apart, Hz.
    private const double GridHertz = 0.3;
    private const double StepHertz = 0.06;

    // Slower than this a hum is a drift, and taken as one, Hz.
    private const double SlowestHertz = 1;

    // A line stands so high above the mean of its surroundings in the periodogram; noise does so in one stretch of some ten thousand.
    private const double Stands = 14;
    private const double Stays = 5;

    // A stretch shorter than this tells no line, s; one that is not evenly read tells none either, share of the spacing.
    private const double LeastSeconds = 3;
    private const double EvenWithin = 0.2;

    // Where there is none it is looked for again after so many stretches.
    private const int Pause = 40;

    // What hangs on the frequency is kept while it moves by less, Hz; stretches that the variance reaches back over.
    private const double KeptWithinHertz = 0.03;
    private const double Remembered = 12;

    // Below this share of what two free phases have, one of them cannot be told.
    private const double LeastDeterminant = 0.01;

    private static readonly double[] Sources = [50, 60, 100, 120];
    private static readonly double[] Beside = [-1.2, -1.05, -0.9, -0.75, -0.6, -0.45, 0.45, 0.6, 0.75, 0.9, 1.05, 1.2];

    [JsonInclude]
    private int _pause;

    [JsonInclude]
    private double _stretches;

    [JsonInclude]
    private double _newestHertz;

    /// <summary>Where it stands in the readings, Hz; 0 where there is none.</summary>
    [JsonInclude]
    public double Hertz { get; private set; }

    /// <summary>Its variance, square of the detector's unit; 0 where there is none.</summary>
    [JsonInclude]
    public double Variance { get; private set; }

    /// <summary>Follows it through a quiet stretch, and takes it off the values.</summary>
    /// <param name="times">Times, s.</param>
    /// <param name="values">Values, spikes removed; left without the hum.</param>
    /// <param name="work">Room for as many values.</param>
    internal void TakeOff(ReadOnlySpan<double> times, Span<double> values, Span<double> work)
    {
        if (_pause > 0)
        {
            _pause--;
            return;
        }

        var n = values.Length;
        var spacing = n < 2 ? 0 : (times[n - 1] - times[0]) / (n - 1);
        if (n < 2 || times[n - 1] - times[0] < LeastSeconds || !Even(times, spacing))
        {
            return;
        }

        Level(values, work);
        var (hertz, power) = Variance > 0 ? Near(work, spacing, _newestHertz) : Scan(work, spacing);
        if (!(power > (Variance > 0 ? Stays : Stands) * Floor(work, spacing, hertz)))
        {
            (Hertz, Variance, _stretches, _pause) = (0, 0, 0, Pause);
            return;
        }

        Learn(hertz, Subtract(times, values, work, hertz));
    }

    private void Learn(double hertz, double variance)
    {
        _newestHertz = hertz;
        Hertz = Math.Abs(hertz - Hertz) <= KeptWithinHertz ? Hertz : hertz;
        _stretches = Math.Min(_stretches + 1, Remembered);
        Variance += (variance - Variance) / _stretches;
    }

    private static bool Even(ReadOnlySpan<double> times, double spacing)
    {
        for (var i = 1; i < times.Length; i++)
        {
            if (Math.Abs(times[i] - times[0] - (i * spacing)) > EvenWithin * spacing)
            {
                return false;
            }
        }

        return true;
    }

    // Values without offset and drift, as the mean slope of the two halves tells it.
    private static void Level(ReadOnlySpan<double> values, Span<double> work)
    {
        var half = values.Length / 2;
        double before = 0, behind = 0;
        for (var i = 0; i < half; i++)
        {
            before += values[i] / half;
            behind += values[values.Length - 1 - i] / half;
        }

        var slope = (behind - before) / (values.Length - half);
        var middle = 0.5 * (before + behind);
        for (var i = 0; i < values.Length; i++)
        {
            work[i] = values[i] - middle - (slope * (i - (0.5 * (values.Length - 1))));
        }
    }

    private static (double Hertz, double Power) Scan(ReadOnlySpan<double> values, double spacing)
    {
        var (best, most) = (0.0, 0.0);
        foreach (var source in Sources)
        {
            for (var hertz = source - GridHertz; hertz <= source + GridHertz; hertz += StepHertz)
            {
                var folded = Math.Abs(hertz - (Math.Round(hertz * spacing) / spacing));
                var power = folded < SlowestHertz ? 0 : Power(values, spacing, folded);
                (best, most) = power > most ? (folded, power) : (best, most);
            }
        }

        return most > 0 ? Near(values, spacing, best) : (0, 0);
    }

    // The top of the parabola through three neighbours.
    private static (double Hertz, double Power) Near(ReadOnlySpan<double> values, double spacing, double hertz)
    {
        var (below, here, above) = (Power(values, spacing, hertz - (StepHertz / 2)), Power(values, spacing, hertz), Power(values, spacing, hertz + (StepHertz / 2)));
        var bend = below - (2 * here) + above;
        var off = bend < 0 ? Math.Clamp(0.5 * (below - above) / bend, -1, 1) * StepHertz / 2 : Math.Sign(above - below) * StepHertz / 2;
        return (hertz + off, Math.Max(here, Power(values, spacing, hertz + off)));
    }

    private static double Floor(ReadOnlySpan<double> values, double spacing, double hertz)
    {
        double sum = 0;
        foreach (var beside in Beside)
        {
            sum += Power(values, spacing, hertz + beside);
        }

        return sum / Beside.Length;
    }

    // Periodogram: the mean over noise of variance v is v. By turning a pointer from reading to reading.
    private static double Power(ReadOnlySpan<double> values, double spacing, double hertz)
    {
        var (sine, cosine) = Math.SinCos(2 * Math.PI * hertz * spacing);
        double x = 1, y = 0, alongX = 0, alongY = 0;
        foreach (var value in values)
        {
            alongX += value * x;
            alongY += value * y;
            (x, y) = ((x * cosine) - (y * sine), (x * sine) + (y * cosine));
        }

        return ((alongX * alongX) + (alongY * alongY)) / values.Length;
    }

    // Least squares for both phases; at half the rate there is only one, and it takes all. Returns the variance of what was taken off.
    private static double Subtract(ReadOnlySpan<double> times, Span<double> values, ReadOnlySpan<double> level, double hertz)
    {
        double alongCosine = 0, alongSine = 0, cosines = 0, sines = 0, both = 0;
        for (var i = 0; i < values.Length; i++)
        {
            var (sine, cosine) = Math.SinCos(2 * Math.PI * hertz * (times[i] - times[0]));
            alongCosine += level[i] * cosine;
            alongSine += level[i] * sine;
            cosines += cosine * cosine;
            sines += sine * sine;
            both += cosine * sine;
        }

        var determinant = (cosines * sines) - (both * both);
        var (inPhase, across) = determinant > LeastDeterminant * values.Length * values.Length
            ? (((sines * alongCosine) - (both * alongSine)) / determinant, ((cosines * alongSine) - (both * alongCosine)) / determinant)
            : (alongCosine / cosines, 0);
        double squares = 0;
        for (var i = 0; i < values.Length; i++)
        {
            var (sine, cosine) = Math.SinCos(2 * Math.PI * hertz * (times[i] - times[0]));
            var hum = (inPhase * cosine) + (across * sine);
            values[i] -= hum;
            squares += hum * hum;
        }

        return squares / values.Length;
    }
}
