using Acquire.Core.Readings;

namespace Acquire.Service.Tests.Archive;

/// <summary>A chunk as the first version of the program wrote it, and the rows in it.</summary>
internal static class OldRows
{
    /// <summary>Version 1, packed by Brotli.</summary>
    public static byte[] PackedChunk { get; } = Convert.FromHexString(
        "0101280000005992F99E03F5010080AAAAAAEA9F015898F9267238CAE92A87D351C00947B13DF6E1018F115CD84236D943846984C494A19042B1813EDDD92A93DDB04FF94EA7F43C990DFB34");

    /// <summary>What it holds.</summary>
    public static ReadingRow[] Expected { get; } =
    [
        .. Enumerable.Range(0, 40).Select(i => new ReadingRow(
            i / 50.0,
            RowChannels.Temperature | RowChannels.Detector | RowChannels.Flame,
            Math.Round(40 + (i * 0.01) + (i % 3 * 0.02), 2),
            Math.Round(0.2 + (i * 7 % 11 * 0.0001), 4),
            i >= 30)),
    ];
}
