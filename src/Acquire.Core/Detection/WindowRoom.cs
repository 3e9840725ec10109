namespace Acquire.Core.Detection;

/// <summary>Memory for the windows of one judgement: each thread keeps its own, gives it out piece by piece, and takes all of it back when the judgement ends.</summary>
/// <remarks>
/// A piece is a span, and so is all that is made of it: nothing on the heap can hold one, so no verdict, event or state that
/// leaves a judgement can refer to what the next one overwrites. While no judgement is open each piece is memory of its own. A
/// history holds so few readings that a judgement takes some megabyte at most, and mostly some hundredth of it.
/// </remarks>
internal readonly ref struct WindowRoom
{
    private const int First = 4096;

    [ThreadStatic]
    private static Shelf? _shelf;

    private readonly Shelf _mine;
    private readonly int _before;

    private WindowRoom(Shelf mine) => (_mine, _before) = (mine, mine.Taken);

    /// <summary>Begins a judgement; one within another gives back its own pieces only.</summary>
    public static WindowRoom Open()
    {
        var shelf = _shelf ??= new();
        shelf.Open++;
        return new(shelf);
    }

    /// <summary>Room for so many values, whatever stands in it; until the judgement ends.</summary>
    public static Span<double> Take(int count)
    {
        if (_shelf is not { Open: > 0 } shelf)
        {
            return new double[count];
        }

        var from = shelf.Taken;
        shelf.Taken += count;
        if (shelf.Taken > shelf.Values.Length)
        {
            // What was given out stays where it is, and keeps the old memory alive for so long.
            shelf.Values = new double[Math.Max(First, 2 * shelf.Taken)];
        }

        return shelf.Values.AsSpan(from, count);
    }

    /// <summary>Ends the judgement.</summary>
    public void Dispose()
    {
        _mine.Open--;
        _mine.Taken = _before;
    }

    private sealed class Shelf
    {
        public double[] Values = [];
        public int Taken;
        public int Open;
    }
}
