namespace Acquire.Service.Archive.Influx.Lines;

/// <summary>The timestamp of a point: from the run's start and the record's own time and number, never from the moment of sending. So a point that is sent again is the same point.</summary>
/// <remarks>
/// To the millisecond it is the record's time. The six digits below it are the record's number in its run: two records of one moment stay two points,
/// whatever the tester's clock does, and nothing has to be known of the records before. The time to the last bit is in the field `run_seconds`.
/// </remarks>
internal static class PointTime
{
    /// <summary>So many numbers fit below the millisecond. Records beyond belong to another <see cref="Part"/> of the run.</summary>
    public const long Numbers = 1_000_000;

    // What InfluxDB takes: the two ends of the range are its own.
    private const long Earliest = long.MinValue + 2, Latest = long.MaxValue - 1;

    /// <summary>Which million of the run's records it is among, from 0. Beyond the first it is a tag of the point, so that its number cannot meet that of another.</summary>
    public static long Part(long index) => index / Numbers;

    /// <summary>Nanoseconds since 1970; null where they cannot be told in 64 bits.</summary>
    /// <param name="start">When the run began.</param>
    /// <param name="atSeconds">The record's time on the run's axis, s.</param>
    /// <param name="index">The record's number, from 0.</param>
    public static long? Of(DateTimeOffset start, double atSeconds, long index)
    {
        // 10^10 s are more than 300 years; beyond it the product may not even fit in between.
        if (!(Math.Abs(atSeconds) <= 1e10))
        {
            return null;
        }

        var nanoseconds = ((Int128)(start.UtcTicks - DateTime.UnixEpoch.Ticks) * 100) + (Int128)Math.Round(atSeconds * 1e9);
        var milliseconds = nanoseconds >= 0 ? nanoseconds / Numbers : (nanoseconds - (Numbers - 1)) / Numbers;
        var at = (milliseconds * Numbers) + (index % Numbers);
        return at < Earliest || at > Latest ? null : (long)at;
    }
}
