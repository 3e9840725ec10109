namespace Acquire.Service.Live;

/// <summary>A list that only grows: one writer, any number of readers that neither wait nor make the writer wait.</summary>
/// <remarks>Chunks never move once written, and the count is published after the item, so a reader sees whole items or none.</remarks>
internal sealed class AppendLog<T>
{
    private const int ChunkLength = 256;

    private T[][] _chunks = [];
    private int _count;

    /// <summary>Items that may be read; never goes down.</summary>
    public int Count => Volatile.Read(ref _count);

    /// <summary>Adds an item. Only the one writer may call this.</summary>
    public void Add(T item)
    {
        var (chunk, offset) = Math.DivRem(_count, ChunkLength);
        if (chunk == _chunks.Length)
        {
            Volatile.Write(ref _chunks, [.. _chunks, new T[ChunkLength]]);
        }

        _chunks[chunk][offset] = item;
        Volatile.Write(ref _count, _count + 1);
    }

    /// <summary>A copy of the items from an index on, at most <paramref name="most"/>; empty from the end on.</summary>
    public T[] Copy(int from, int most)
    {
        var count = Math.Clamp(Count - from, 0, most);
        var copy = new T[count];
        var chunks = Volatile.Read(ref _chunks);
        for (var done = 0; done < count;)
        {
            var (chunk, offset) = Math.DivRem(from + done, ChunkLength);
            var length = Math.Min(ChunkLength - offset, count - done);
            Array.Copy(chunks[chunk], offset, copy, done, length);
            done += length;
        }

        return copy;
    }
}
