using System.Numerics;
using System.Runtime.InteropServices;
using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <summary>Finds the hum of the mains in a quiet detector, folded to whatever frequency the readings make of it, and takes it off. Part of a run's snapshot.</summary>
/// <remarks>
/// Mains have 50 or 60 Hz, kept within some tenths by the grid (common practice, no source); lamps and rectifiers add twice as much. Read so many times a
/// second, a hum of f hertz looks like one of |f - k·rate|; readings that come unevenly fold it to no frequency, and it is looked
/// for at its own. No other line is looked for: what else swings steadily may be a flame.
/// </remarks>
public sealed class MainsHum
{
    // What the grid keeps to, and steps that a stretch of some seconds can tell apart, Hz.
    private const double GridHertz = 0.3;
    private const double StepHertz = 0.06;

    // Slower than this a hum is a drift, and taken as one, Hz.
    private const double SlowestHertz = 1;

    // A line stands so high above the mean of its surroundings in the periodogram; noise does so at one frequency of some ten thousand, and in one search of some five hundred.
    private const double Stands = 14;
    private const double Stays = 5;

    // A stretch shorter than this tells no line, s; readings so far off an even spacing, as a share of it, are uneven.
    private const double LeastSeconds = 3;
    private const double EvenWithin = 0.2;

    // Uneven readings lend a slow course's power to any frequency: what is slower than this is taken off first, s.
    private const double SlowSeconds = 0.5;

    // Steps by which a frequency is followed from one stretch to the next, at most.
    private const int MostSteps = 8;

    // Where there is none it is looked for again after so many stretches.
    private const int Pause = 40;

    // What hangs on the frequency is kept while it moves by less, Hz; stretches that the variance reaches back over.
    private const double KeptWithinHertz = 0.03;
    private const double Remembered = 12;

    // Below this share of what two free phases have, one of them cannot be told.
    private const double LeastDeterminant = 0.01;

    // Frequencies asked for at most, and at once: whole registers of any width.
    private const int MostAsked = 48;
    private const int AtOnce = 16;

    private static readonly double[] Sources = [50, 60, 100, 120];
    private static readonly double[] Beside = [-1.2, -1.05, -0.9, -0.75, -0.6, -0.45, 0.45, 0.6, 0.75, 0.9, 1.05, 1.2];

    [JsonInclude]
    private int _pause;

    [JsonInclude]
    private double _stretches;

    [JsonInclude]
    private double _newestHertz;

    /// <summary>The hum in the newest stretch, where the readings came unevenly; null where they did not, or there was none.</summary>
    [JsonInclude]
    public HumWave? Wave { get; private set; }

    /// <summary>Whether it was found at its own frequency, by the times of the readings.</summary>
    internal bool ByTimes => Wave is not null;

    /// <summary>Where it stands in the readings, Hz: what they fold it to, or its own frequency where they come unevenly; 0 where there is none.</summary>
    [JsonInclude]
    public double Hertz { get; private set; }

    /// <summary>Its variance, square of the detector's unit; 0 where there is none.</summary>
    [JsonInclude]
    public double Variance { get; private set; }

    /// <summary>Follows it through a quiet stretch, and takes it off the values.</summary>
    /// <param name="times">Times, s.</param>
    /// <param name="values">Values, spikes removed; left without the hum.</param>
    /// <param name="work">Room for twice as many values.</param>
    internal void TakeOff(ReadOnlySpan<double> times, Span<double> values, Span<double> work)
    {
        if (_pause > 0)
        {
            _pause--;
            return;
        }

        var n = values.Length;
        var spacing = n < 2 ? 0 : (times[n - 1] - times[0]) / (n - 1);
        if (n < 2 || times[n - 1] - times[0] < LeastSeconds)
        {
            Wave?.TakeOff(times, values);
            return;
        }

        var uneven = !Even(times, spacing);
        var level = work[..n];
        if (uneven)
        {
            WithoutSlow(times, values, level);
        }
        else
        {
            Level(values, level);
        }

        var (known, changed) = (Variance > 0, uneven != ByTimes);
        var row = new Row(level, spacing, uneven ? times : []);
        var near = known && !changed ? _newestHertz : Scan(row);
        var line = near is { } hertz ? Follow(row, hertz) : default;
        if (!(line.Power > (known ? Stays : Stands) * line.Floor))
        {
            // One stretch with lost readings among even ones says nothing about where the line stands in these.
            if (!known || !changed || !uneven)
            {
                (Hertz, Variance, _stretches, _pause, Wave) = (0, 0, 0, known && changed ? 0 : Pause, null);
            }

            return;
        }

        _stretches = changed ? 0 : _stretches;
        var (inPhase, across, variance) = Subtract(times, values, level, work.Slice(n, n), line.Hertz);
        Wave = uneven ? new(line.Hertz, inPhase, across, times[0], times[n - 1], n) : null;
        Learn(line.Hertz, variance);
    }

    // Values to look for lines in; with their times where these are uneven.
    private readonly ref struct Row(ReadOnlySpan<double> values, double spacing, ReadOnlySpan<double> times)
    {
        public ReadOnlySpan<double> Values { get; } = values;

        public double Spacing { get; } = spacing;

        public ReadOnlySpan<double> Times { get; } = times;

        // Where a frequency stands in the readings, Hz.
        public double Folded(double hertz) => Times.IsEmpty ? Math.Abs(hertz - (Math.Round(hertz * Spacing) / Spacing)) : hertz;
    }

    private void Learn(double hertz, double variance)
    {
        _newestHertz = hertz;
        Hertz = Math.Abs(hertz - Hertz) <= KeptWithinHertz ? Hertz : hertz;
        _stretches = Math.Min(_stretches + 1, Remembered);
        Variance += (variance - Variance) / _stretches;
    }

    private static void WithoutSlow(ReadOnlySpan<double> times, ReadOnlySpan<double> values, Span<double> level)
    {
        DetectorStretch.Smooth(times, values, SlowSeconds, level);
        for (var i = 0; i < level.Length; i++)
        {
            level[i] = values[i] - level[i];
        }
    }

    private static bool Even(ReadOnlySpan<double> times, double spacing)
    {
        var wide = MemoryMarshal.Cast<double, Vector<double>>(times);
        var (first, wideSpacing, within, places) = (new Vector<double>(times[0]), new Vector<double>(spacing), new Vector<double>(EvenWithin * spacing), Places());
        foreach (var four in wide)
        {
            if (Vector.GreaterThanAny(Vector.Abs(four - first - (places * wideSpacing)), within))
            {
                return false;
            }

            places += new Vector<double>(Vector<double>.Count);
        }

        for (var i = wide.Length * Vector<double>.Count; i < times.Length; i++)
        {
            if (Math.Abs(times[i] - times[0] - (i * spacing)) > EvenWithin * spacing)
            {
                return false;
            }
        }

        return true;
    }

    // The first places of a row.
    private static Vector<double> Places() => Vector.CreateSequence(0.0, 1.0);

    // Values without offset and drift, as the mean slope of the two halves tells it.
    private static void Level(ReadOnlySpan<double> values, Span<double> work)
    {
        var half = values.Length / 2;
        var wide = MemoryMarshal.Cast<double, Vector<double>>(values);
        var level = MemoryMarshal.Cast<double, Vector<double>>(work);
        var rest = wide.Length * Vector<double>.Count;
        for (var i = 0; i < wide.Length; i++)
        {
            level[i] = wide[i] / new Vector<double>(half);
        }

        for (var i = rest; i < values.Length; i++)
        {
            work[i] = values[i] / half;
        }

        double before = 0, behind = 0;
        for (var i = 0; i < half; i++)
        {
            before += work[i];
            behind += work[values.Length - 1 - i];
        }

        var slope = (behind - before) / (values.Length - half);
        var middle = 0.5 * (before + behind);
        var centre = 0.5 * (values.Length - 1);
        var (wideMiddle, wideSlope, wideCentre, places) = (new Vector<double>(middle), new Vector<double>(slope), new Vector<double>(centre), Places());
        for (var i = 0; i < wide.Length; i++)
        {
            level[i] = wide[i] - wideMiddle - (wideSlope * (places - wideCentre));
            places += new Vector<double>(Vector<double>.Count);
        }

        for (var i = rest; i < values.Length; i++)
        {
            work[i] = values[i] - middle - (slope * (i - centre));
        }
    }

    // The frequency of most power; null where none can be told.
    private static double? Scan(in Row row)
    {
        Span<double> folded = stackalloc double[MostAsked];
        Span<double> powers = stackalloc double[MostAsked];
        var n = 0;
        foreach (var source in Sources)
        {
            for (var hertz = source - GridHertz; hertz <= source + GridHertz; hertz += StepHertz)
            {
                var place = row.Folded(hertz);
                folded[n] = place;
                n += place < SlowestHertz ? 0 : 1;
            }
        }

        Powers(row, folded[..n], powers);
        var best = -1;
        for (var i = 0; i < n; i++)
        {
            best = powers[i] > (best < 0 ? 0 : powers[best]) ? i : best;
        }

        return best < 0 ? null : folded[best];
    }

    // A line as it stands now, near to where it was: mains wander between two stretches.
    private static (double Hertz, double Power, double Floor) Follow(in Row row, double hertz)
    {
        var line = Line(row, hertz);
        for (var step = 1; step < MostSteps && !row.Times.IsEmpty && Math.Abs(line.Hertz - hertz) > 0.99 * StepHertz / 2; step++)
        {
            hertz = line.Hertz;
            line = Line(row, hertz);
        }

        return line;
    }

    // The top of the parabola through three neighbours, its power, and that of its surroundings.
    private static (double Hertz, double Power, double Floor) Line(in Row row, double hertz)
    {
        Span<double> asked = [hertz - (StepHertz / 2), hertz, hertz + (StepHertz / 2)];
        Span<double> powers = stackalloc double[1 + Beside.Length];
        Powers(row, asked, powers);
        var (below, here, above) = (powers[0], powers[1], powers[2]);
        var bend = below - (2 * here) + above;
        var off = bend < 0 ? Math.Clamp(0.5 * (below - above) / bend, -1, 1) * StepHertz / 2 : Math.Sign(above - below) * StepHertz / 2;
        Span<double> round = stackalloc double[1 + Beside.Length];
        round[0] = hertz + off;
        for (var i = 0; i < Beside.Length; i++)
        {
            round[1 + i] = hertz + off + Beside[i];
        }

        Powers(row, round, powers);
        double sum = 0;
        foreach (var beside in powers[1..])
        {
            sum += beside;
        }

        return (hertz + off, Math.Max(here, powers[0]), sum / Beside.Length);
    }

    private static void Powers(in Row row, ReadOnlySpan<double> hertz, Span<double> powers)
    {
        if (row.Times.IsEmpty)
        {
            Powers(row.Values, row.Spacing, hertz, powers);
            return;
        }

        for (var i = 0; i < hertz.Length; i++)
        {
            powers[i] = Power(row, hertz[i]);
        }
    }

    private static void Powers(ReadOnlySpan<double> values, double spacing, ReadOnlySpan<double> hertz, Span<double> powers)
    {
        Span<double> sines = stackalloc double[AtOnce];
        Span<double> cosines = stackalloc double[AtOnce];
        Span<double> some = stackalloc double[AtOnce];
        for (var at = 0; at < hertz.Length; at += AtOnce)
        {
            var asked = hertz[at..Math.Min(hertz.Length, at + AtOnce)];
            for (var i = 0; i < asked.Length; i++)
            {
                (sines[i], cosines[i]) = Math.SinCos(2 * Math.PI * asked[i] * spacing);
            }

            for (var i = 0; i < asked.Length; i += 2 * Vector<double>.Count)
            {
                Power(values, sines[i..], cosines[i..], some[i..]);
            }

            some[..asked.Length].CopyTo(powers[at..]);
        }
    }

    // The same from the times.
    private static double Power(in Row row, double hertz)
    {
        var times = MemoryMarshal.Cast<double, Vector<double>>(row.Times);
        var values = MemoryMarshal.Cast<double, Vector<double>>(row.Values);
        var (turns, first) = (new Vector<double>(2 * Math.PI * hertz), new Vector<double>(row.Times[0]));
        var (wideAlong, wideAcross) = (Vector<double>.Zero, Vector<double>.Zero);
        for (var i = 0; i < times.Length; i++)
        {
            var (sine, cosine) = Vector.SinCos(turns * (times[i] - first));
            wideAlong += cosine * values[i];
            wideAcross += sine * values[i];
        }

        var (along, across) = (Vector.Sum(wideAlong), Vector.Sum(wideAcross));
        for (var i = times.Length * Vector<double>.Count; i < row.Times.Length; i++)
        {
            var (sine, cosine) = Math.SinCos(2 * Math.PI * hertz * (row.Times[i] - row.Times[0]));
            along += cosine * row.Values[i];
            across += sine * row.Values[i];
        }

        return ((along * along) + (across * across)) / row.Values.Length;
    }

    // Periodogram: the mean over noise of variance v is v. By turning a pointer from reading to reading, two rows of them side by side.
    private static void Power(ReadOnlySpan<double> values, ReadOnlySpan<double> sines, ReadOnlySpan<double> cosines, Span<double> powers)
    {
        var wide = Vector<double>.Count;
        var (sine, cosine, otherSine, otherCosine) = (new Vector<double>(sines), new Vector<double>(cosines), new Vector<double>(sines[wide..]), new Vector<double>(cosines[wide..]));
        Vector<double> x = Vector<double>.One, y = default, otherX = Vector<double>.One, otherY = default;
        Vector<double> alongX = default, alongY = default, otherAlongX = default, otherAlongY = default;
        foreach (var value in values)
        {
            alongX += x * value;
            alongY += y * value;
            otherAlongX += otherX * value;
            otherAlongY += otherY * value;
            (x, y) = ((x * cosine) - (y * sine), (x * sine) + (y * cosine));
            (otherX, otherY) = ((otherX * otherCosine) - (otherY * otherSine), (otherX * otherSine) + (otherY * otherCosine));
        }

        (((alongX * alongX) + (alongY * alongY)) / values.Length).CopyTo(powers);
        (((otherAlongX * otherAlongX) + (otherAlongY * otherAlongY)) / values.Length).CopyTo(powers[wide..]);
    }

    // Least squares for both phases; at half the rate there is only one, and it takes all. With the variance of what was taken off.
    private static (double InPhase, double Across, double Variance) Subtract(ReadOnlySpan<double> times, Span<double> values, Span<double> level, Span<double> other, double hertz)
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
            (level[i], other[i]) = (cosine, sine);
        }

        var determinant = (cosines * sines) - (both * both);
        var (inPhase, across) = determinant > LeastDeterminant * values.Length * values.Length
            ? (((sines * alongCosine) - (both * alongSine)) / determinant, ((cosines * alongSine) - (both * alongCosine)) / determinant)
            : (alongCosine / cosines, 0);
        double squares = 0;
        for (var i = 0; i < values.Length; i++)
        {
            var hum = (inPhase * level[i]) + (across * other[i]);
            values[i] -= hum;
            squares += hum * hum;
        }

        return (inPhase, across, squares / values.Length);
    }
}
