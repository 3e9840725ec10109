namespace Acquire.Core.Detection;

/// <summary>A window's values, known course and its shift, each times the inverse of a covariance, and their sums to the end; memory that is kept from one window to the next.</summary>
internal sealed class FlashWeights
{
    // Longest shape with values of its own, in points.
    private const int LongestShape = 128;

    /// <summary>Length of the rows: the most points, and behind them as many 0 as any shape reaches.</summary>
    internal static readonly int Room = WindowPoints.Most + 1 + LongestShape + (2 * Sliding.Slack);

    /// <summary>Points; everything behind them is 0.</summary>
    public int Count { get; private set; }

    /// <summary>Whether there is a known course.</summary>
    public bool HasKnown { get; private set; }

    /// <summary>Weighted values.</summary>
    public double[] Values { get; } = new double[Room];

    /// <summary>Weighted known course.</summary>
    public double[] Size { get; } = new double[Room];

    /// <summary>Weighted shift of it.</summary>
    public double[] Shift { get; } = new double[Room];

    /// <summary>Sums of the values from each point to the end.</summary>
    public double[] ValuesToEnd { get; } = new double[Room];

    /// <summary>The same of the known course.</summary>
    public double[] SizeToEnd { get; } = new double[Room];

    /// <summary>The same of its shift.</summary>
    public double[] ShiftToEnd { get; } = new double[Room];

    /// <summary>Sums of the values over the points that fade from each on.</summary>
    public double[] ValuesFading { get; } = new double[Room];

    /// <summary>The same of the known course.</summary>
    public double[] SizeFading { get; } = new double[Room];

    /// <summary>The same of its shift.</summary>
    public double[] ShiftFading { get; } = new double[Room];

    /// <summary>Fills the sums over points that fade: each follows from the one behind it.</summary>
    /// <param name="left">Each counts for so much of the one before, below 1.</param>
    /// <param name="points">How many count; what is left of one behind them is taken off.</param>
    public void Fade(double left, int points)
    {
        var gone = Math.Pow(left, points);
        double values = 0, size = 0, shift = 0;
        for (var i = Count - 1; i >= 0; i--)
        {
            ValuesFading[i] = values = (left * values) + (Values[i] - (gone * Values[i + points]));
            if (HasKnown)
            {
                SizeFading[i] = size = (left * size) + (Size[i] - (gone * Size[i + points]));
                ShiftFading[i] = shift = (left * shift) + (Shift[i] - (gone * Shift[i + points]));
            }
        }
    }

    /// <summary>Weighs a window.</summary>
    /// <param name="model">The nuisance.</param>
    /// <param name="points">The window.</param>
    /// <param name="square">Receives the values times the weighted values.</param>
    /// <returns>What the known course adds.</returns>
    public KnownCourse Take(FlashModel model, WindowPoints points, out double square)
    {
        var n = points.Count;
        Begin(n, points.HasKnown);
        if (HasKnown)
        {
            model.Weigh(points, Values.AsSpan(0, n), Size.AsSpan(0, n), Shift.AsSpan(0, n));
        }
        else
        {
            model.Weigh(points.ValuesNow, Values.AsSpan(0, n));
        }

        square = SymmetricInverse.Dot(points.ValuesNow, Values.AsSpan(0, n));
        var known = HasKnown ? KnownCourse.Of(points, Values.AsSpan(0, n), Size.AsSpan(0, n), Shift.AsSpan(0, n), ref square) : default;
        if (HasKnown)
        {
            AllToEnd(n);
        }
        else
        {
            ToEnd(Values, ValuesToEnd, n);
        }

        return known;
    }

    /// <summary>Weighs values of which no course is known.</summary>
    internal void Take(FlashModel model, ReadOnlySpan<double> values)
    {
        Begin(values.Length, known: false);
        model.Weigh(values, Values.AsSpan(0, Count));
        ToEnd(Values, ValuesToEnd, Count);
    }

    // What the window before has left behind the last point is taken away; farther back there is nothing.
    private void Begin(int points, bool known)
    {
        foreach (var row in (ReadOnlySpan<double[]>)[Values, Size, Shift, ValuesToEnd, SizeToEnd, ShiftToEnd, ValuesFading, SizeFading, ShiftFading])
        {
            Array.Clear(row, points, Math.Max(0, Count - points));
        }

        (Count, HasKnown) = (points, known);
    }

    // Three sums side by side: each waits for itself.
    private void AllToEnd(int n)
    {
        double values = 0, size = 0, shift = 0;
        for (var i = n - 1; i >= 0; i--)
        {
            ValuesToEnd[i] = values += Values[i];
            SizeToEnd[i] = size += Size[i];
            ShiftToEnd[i] = shift += Shift[i];
        }
    }

    private static void ToEnd(double[] values, double[] sums, int n)
    {
        for (var i = n - 1; i >= 0; i--)
        {
            sums[i] = sums[i + 1] + values[i];
        }
    }
}
