using Acquire.Core.Readings;

namespace Acquire.ArchiveVictim;

/// <summary>What a made-up tester says at each tick of its own clock, which goes on whether anybody listens or not.</summary>
public static class LiveRows
{
    /// <summary>Ticks, and rows, a second.</summary>
    public const int PerSecond = 200;

    /// <summary>The row of a tick of one tester: every bit of its detector follows from both.</summary>
    public static ReadingRow At(int tester, long tick)
    {
        var bits = VictimRows.Mixed((tester * 1_000_000_007L) + tick);
        return new(Seconds(tick), RowChannels.Temperature | RowChannels.Detector, 60 + (tick % 100_000 * 0.001), (bits >>> 11) * (1.0 / (1L << 53)), false);
    }

    /// <summary>The tester's own time at a tick, s.</summary>
    public static double Seconds(long tick) => tick / (double)PerSecond;

    /// <summary>The tick of a time, s.</summary>
    public static long Tick(double seconds) => (long)Math.Round(seconds * PerSecond);
}
