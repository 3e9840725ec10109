namespace Acquire.Core.Detection;

/// <summary>Finds the value of a rank without sorting: in time that grows with the number of values, where sorting grows faster.</summary>
internal static class Selection
{
    // Below this many values putting them in order one by one is as quick.
    private const int Few = 12;

    /// <summary>The value that would stand at a rank, 0 the smallest; afterwards no value before the rank is larger, none behind it smaller.</summary>
    /// <param name="values">Finite values; reordered.</param>
    /// <param name="rank">0 to length - 1.</param>
    /// <remarks>
    /// Quickselect in three parts, so that the many equal values of a coarse converter do no harm. The parts are made without
    /// branches on the values, which no processor could foretell. Where the pivots are bad again and again it falls back to sorting.
    /// </remarks>
    public static double Smallest(Span<double> values, int rank)
    {
        var rest = values;
        for (var rounds = 2 * int.Log2(values.Length + 1); rest.Length > Few && rounds > 0; rounds--)
        {
            var pivot = Robust.Median3(rest[0], rest[rest.Length / 2], rest[^1]);
            var below = FirstBelow(rest, pivot);
            if (rank < below)
            {
                rest = rest[..below];
                continue;
            }

            rest = rest[below..];
            rank -= below;
            var equal = FirstUpTo(rest, pivot);
            if (rank < equal)
            {
                return pivot;
            }

            rest = rest[equal..];
            rank -= equal;
        }

        Order(rest);
        return rest[rank];
    }

    private static void Order(Span<double> values)
    {
        if (values.Length > Few)
        {
            values.Sort();
            return;
        }

        for (var i = 1; i < values.Length; i++)
        {
            var value = values[i];
            var at = i;
            for (; at > 0 && values[at - 1] > value; at--)
            {
                values[at] = values[at - 1];
            }

            values[at] = value;
        }
    }

    // Brings the values below the pivot to the front; returns how many there are.
    private static int FirstBelow(Span<double> values, double pivot)
    {
        var front = 0;
        for (var i = 0; i < values.Length; i++)
        {
            var value = values[i];
            values[i] = values[front];
            values[front] = value;
            front += value < pivot ? 1 : 0;
        }

        return front;
    }

    // The same for those not above it.
    private static int FirstUpTo(Span<double> values, double pivot)
    {
        var front = 0;
        for (var i = 0; i < values.Length; i++)
        {
            var value = values[i];
            values[i] = values[front];
            values[front] = value;
            front += value <= pivot ? 1 : 0;
        }

        return front;
    }
}
