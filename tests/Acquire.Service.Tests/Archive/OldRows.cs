using Acquire.Core.Readings;

namespace Acquire.Service.Tests.Archive;

/// <summary>Chunks as earlier versions of the program wrote them, and the rows in them.</summary>
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

    /// <summary>Version 3, packed by Brotli.</summary>
    public static byte[] PackedBenchChunk { get; } = Convert.FromHexString(
        "0301280000006E0C34A983A8060080AAAAAAEA5F98454405400FA287A39EAE7ABCE9E1A8A7AB1E4F0AA07A3A287CAF27B49F65EBB12E0F07382C4153E501E3659781CED9E3EC8443038984466914820F2C3AB3E8ACEA0CD531E81754BDAA3A2006A518B2D35019E819A57888F4A913C048736764442D96B4A76DF8078AFC4D0DD296CE918ABF1CFDDA6D94E22D65944B54ECD4AC243DB59D576724CEB43AE0CB31D4");

    /// <summary>What it holds.</summary>
    public static ReadingRow[] ExpectedBench { get; } =
    [
        .. Expected.Select((row, i) => row with
        {
            Present = row.Present | RowChannels.Command | RowChannels.Heater | (ReadingRow.BenchChannels & ~(i % 10 == 9 ? RowChannels.Lit : RowChannels.None)),
            Command = 7 + (i / 8),
            HeaterFraction = 0.375,
            StirrerRevolutionsPerMinute = i < 30 ? 105 : 0,
            Stirring = i < 30,
            Lit = i != 20,
            AirMetresPerSecond = Math.Round(0.05 + (i % 4 * 0.01), 2),
            AmbientCelsius = 23.1,
        }),
    ];
}
