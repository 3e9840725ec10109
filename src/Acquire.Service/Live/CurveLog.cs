namespace Acquire.Service.Live;

/// <summary>The points of a curve: one writer, any number of readers that neither wait nor make the writer wait. What is whole is kept packed, so that hundreds of open runs cost little.</summary>
/// <remarks>Blocks never change once their last point was written, and the count is published after the point, so a reader sees whole points or none.</remarks>
internal sealed class CurveLog
{
    /// <summary>Points of a block; the newest ones, up to a block, are not packed.</summary>
    public const int BlockPoints = 256;

    private volatile Blocks _blocks = new([], new CurvePoint[BlockPoints]);
    private int _count;

    /// <summary>Points that may be read; never goes down.</summary>
    public int Count => Volatile.Read(ref _count);

    /// <summary>Adds a point. Only the one writer may call this.</summary>
    public void Add(in CurvePoint point)
    {
        var offset = _count % BlockPoints;
        if (offset == 0 && _count > 0)
        {
            _blocks = new([.. _blocks.Packed, CurveBlock.Pack(_blocks.Newest)], new CurvePoint[BlockPoints]);
        }

        _blocks.Newest[offset] = point;
        Volatile.Write(ref _count, _count + 1);
    }

    /// <summary>A copy of the points from an index on, at most <paramref name="most"/>; empty from the end on.</summary>
    public CurvePoint[] Copy(int from, int most)
    {
        // In this order: the blocks hold at least the points that were counted.
        var count = Math.Clamp(Count - from, 0, most);
        var blocks = _blocks;
        var copy = new CurvePoint[count];
        for (var done = 0; done < count;)
        {
            var (block, offset) = Math.DivRem(from + done, BlockPoints);
            var points = block < blocks.Packed.Length ? CurveBlock.Unpack(blocks.Packed[block]) : blocks.Newest;
            var length = Math.Min(BlockPoints - offset, count - done);
            Array.Copy(points, offset, copy, done, length);
            done += length;
        }

        return copy;
    }

    private sealed record Blocks(byte[][] Packed, CurvePoint[] Newest);
}
