using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <summary>What the passes before have taught about the detector's answer to the test flame and the halo.</summary>
/// <remarks>Only passes without a flash are remembered. Part of a run's snapshot.</remarks>
public sealed class PassMemory
{
    private const int Remembered = 4;

    // Passes that the mean course reaches back over.
    private const int CoursePasses = 12;

    // With so many passes before, their course is known.
    private const int Enough = 3;

    [JsonInclude]
    private List<PassRecord> _passes = [];

    [JsonInclude]
    private double[] _course = new double[PassCourse.GridPoints];

    [JsonIgnore]
    private readonly PassFigures _figures = new();

    /// <summary>Passes remembered.</summary>
    public int Count => _passes.Count;

    /// <summary>Passes that the detector could see.</summary>
    public int VisibleCount
    {
        get
        {
            var count = 0;
            foreach (var pass in _passes)
            {
                count += pass.Visible ? 1 : 0;
            }

            return count;
        }
    }

    /// <summary>Whether the detector could see any of them.</summary>
    public bool AnyVisible => _figures.Of(_passes, Remembered).AnyVisible;

    /// <summary>Whether so many passes are remembered that their course can be told from noise.</summary>
    public bool IsKnown => _passes.Count >= Enough;

    /// <summary>How far passes without a flash stood out of what is modelled: the second strongest of the newest, standard deviations; 0 before the second.</summary>
    public double Restlessness
    {
        get
        {
            double most = 0, second = 0;
            for (var i = Math.Max(0, _passes.Count - CoursePasses); i < _passes.Count; i++)
            {
                var one = _passes[i].Significance;
                second = Math.Max(second, Math.Min(most, one));
                most = Math.Max(most, one);
            }

            return second;
        }
    }

    /// <summary>Highest of the newest passes, detector's unit.</summary>
    public double Peak => _figures.Of(_passes, Remembered).Peak;

    /// <summary>Narrowest of the newest passes that could be seen, s; 0 where none could.</summary>
    public double Width
    {
        get
        {
            var least = double.PositiveInfinity;
            for (var i = Math.Max(0, _passes.Count - Remembered); i < _passes.Count; i++)
            {
                least = _passes[i].Visible ? Math.Min(least, _passes[i].Width) : least;
            }

            return double.IsFinite(least) ? least : 0;
        }
    }

    /// <summary>Unexplained sudden part that the passes have in common, detector's unit: the second largest, because noise can throw one up, but never less than six tenths of the largest.</summary>
    public double Unexplained
    {
        get
        {
            double most = 0, second = 0;
            for (var i = Math.Max(0, _passes.Count - (2 * Remembered)); i < _passes.Count; i++)
            {
                var one = _passes[i].Unexplained;
                second = Math.Max(second, Math.Min(most, one));
                most = Math.Max(most, one);
            }

            return _passes.Count < 3 ? most : Math.Max(second, 0.6 * most);
        }
    }

    /// <summary>Most that was left a second after the flame had gone, detector's unit.</summary>
    public double Linger => Most(Remembered, pass => pass.Linger);

    /// <summary>What is usually left then, whatever one of the newest passes left by chance: the middle of them, detector's unit.</summary>
    internal double UsualLinger
    {
        get
        {
            var count = Math.Min(Remembered, _passes.Count);
            Span<double> left = stackalloc double[Remembered];
            for (var i = 0; i < count; i++)
            {
                left[i] = _passes[_passes.Count - 1 - i].Linger;
            }

            return Robust.Median(left[..count]);
        }
    }

    /// <summary>Lowest of the newest passes in units of the idle scatter; 0 before the first.</summary>
    public double Clarity => -Most(Remembered, pass => -pass.Peak / Math.Max(pass.Smooth, double.Epsilon));

    /// <summary>Whether the passes have edges of their own, so that an edge does not yet make a flash.</summary>
    public bool Edged => Unexplained > 0.3 * Peak;

    /// <summary>Remembers a pass without a flash.</summary>
    /// <param name="pass">Its figures.</param>
    /// <param name="window">Its readings.</param>
    /// <param name="baseline">Quiet baseline before it.</param>
    /// <param name="start">When the flame came over the cup, s.</param>
    public void Remember(PassRecord pass, DetectorStretch window, double baseline, double start)
    {
        _passes.Add(pass);
        if (window.Times.Length == 0)
        {
            return;
        }

        var share = 1.0 / Math.Min(_passes.Count, CoursePasses);
        var after = 0;
        for (var k = 0; k < PassCourse.GridPoints; k++)
        {
            var value = Interpolate(window, start + PassCourse.GridFrom + (k * PassCourse.GridSeconds), ref after) - baseline;
            _course[k] += share * (value - _course[k]);
        }
    }

    /// <summary>Share of one pass's noise that is left in the mean course, as a variance.</summary>
    internal double CourseShare => _passes.Count < 2 || !AnyVisible ? 0 : 1.0 / Math.Min(_passes.Count, CoursePasses);

    /// <summary>The mean course of the passes before, for a pass that starts at a given time, s; null before two passes, or while none could be seen.</summary>
    internal PassCourse? Course(double start) => _passes.Count < 2 || !AnyVisible ? null : new(_course, start);

    // Largest figure of the newest passes; 0 without any.
    private double Most(int newest, Func<PassRecord, double> figure)
    {
        var first = Math.Max(0, _passes.Count - newest);
        var most = first < _passes.Count ? figure(_passes[first]) : 0;
        for (var i = first + 1; i < _passes.Count; i++)
        {
            most = Math.Max(most, figure(_passes[i]));
        }

        return most;
    }

    // The value at a time; the first reading that is not before it is looked for from where it was at the time before.
    private static double Interpolate(DetectorStretch window, double time, ref int after)
    {
        for (; after < window.Times.Length && window.Times[after] < time; after++)
        {
        }

        if (after == 0)
        {
            return window.Values[0];
        }

        if (after >= window.Times.Length)
        {
            return window.Values[^1];
        }

        var part = (time - window.Times[after - 1]) / (window.Times[after] - window.Times[after - 1]);
        return ((1 - part) * window.Values[after - 1]) + (part * window.Values[after]);
    }
}
