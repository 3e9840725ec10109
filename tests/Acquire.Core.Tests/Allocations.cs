namespace Acquire.Core.Tests;

/// <summary>What a piece of work allocates on its thread.</summary>
internal static class Allocations
{
    private const int Rounds = 5;

    /// <summary>
    /// The least bytes of up to five rounds. Work that allocates does so in each; a collection begun by another thread counts the
    /// unused rest of this thread's allocation buffer (8 KiB) as allocated, in the round it falls in.
    /// </summary>
    /// <param name="prepare">Makes a round ready, uncounted, and returns the work that is counted.</param>
    internal static long LeastBytes(Func<Action> prepare)
    {
        var least = long.MaxValue;
        for (var round = 0; round < Rounds && least > 0; round++)
        {
            var work = prepare();
            var before = GC.GetAllocatedBytesForCurrentThread();
            work();
            least = Math.Min(least, GC.GetAllocatedBytesForCurrentThread() - before);
        }

        return least;
    }
}
