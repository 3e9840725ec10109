using System.Globalization;
using System.Text;
using Acquire.Service.Configuration;
using Acquire.Service.Sources.Serial;

namespace Acquire.Benchmarks.Campaigns.Serial;

/// <summary>One kind of line: how it is read, and how a sound one is made.</summary>
internal sealed class LineReader
{
    private const string Columns = """ "columns": [ { "channel": "time", "unit": "ms" }, { "channel": "temperature", "unit": "degC" }, { "channel": "detector" }, { "channel": "flame" }, { "channel": "heater", "unit": "%" } ] """;
    private const string Pattern = """
        "pattern": "\\x02?(ST|US), *(?<t>[-+0-9.eE]+) ?\\xB0?C(;D=(?<d>[^;]*))?(;F=(?<f>.*))?",
        "groups": [ { "group": "t", "channel": "temperature", "unit": "degC" }, { "group": "d", "channel": "detector" }, { "group": "f", "channel": "flame" } ]
        """;

    private readonly Func<Random, string> _text;

    private LineReader(string name, string source, Func<Random, string> text)
    {
        var json = $$"""{ "testers": [ { "id": "a", "source": { "kind": "serial", "port": "none", {{source}} } } ] }""";
        if (!ConfigFile.TryParse(json, out var config, out var errors))
        {
            throw new InvalidOperationException(string.Join("\n", errors));
        }

        (Name, _text, Config) = (name, text, (SourceConfig.Serial)config.Testers[0].Source);
        Decoder = new(Config);
    }

    /// <summary>In a few words.</summary>
    public string Name { get; }

    /// <summary>How it is read.</summary>
    public SourceConfig.Serial Config { get; }

    /// <summary>Reads it.</summary>
    public LineDecoder Decoder { get; }

    /// <summary>What became of its inputs.</summary>
    public LineTally Tally { get; } = new();

    /// <summary>Every kind that is played.</summary>
    public static IEnumerable<LineReader> All() =>
    [
        new("columns", Columns, Numbers),
        new("columns, decimal comma", Columns + """, "separator": ";", "decimalSeparator": "," """, random => Numbers(random).Replace(',', ';').Replace('.', ',')),
        new("columns, exclusive or behind a mark", Columns + """, "checksum": { "kind": "xor", "mark": "*", "skip": 1 } """, random => "$" + Numbers(random)),
        new("columns, CRC-16", Columns + """, "lineEnd": "cr", "checksum": { "kind": "crc16-modbus", "byteOrder": "low-first" } """, Numbers),
        new("a pattern", Pattern + """, "lineEnd": "\\x03" """, Words),
        new("a pattern, decimal sum", Pattern + """, "lineEnd": "cr-lf", "checksum": { "kind": "sum-256-complement", "digits": "decimal" } """, Words),
    ];

    /// <summary>A sound line with its checksum and end.</summary>
    public byte[] SoundLine(Random random)
    {
        var text = Encoding.Latin1.GetBytes(_text(random));
        return [.. text, .. Encoding.ASCII.GetBytes(Checksum(text)), .. Config.End.Bytes.Span];
    }

    private string Checksum(byte[] text)
    {
        if (Config.Checksum is not { } checksum)
        {
            return "";
        }

        var value = LineChecksum.Compute(checksum.Kind, text.AsSpan(checksum.Skip));
        value = checksum.LowByteFirst ? ((value & 0xFF) << 8) | (value >> 8) : value;
        var digits = checksum.IsDecimal ? "D" : "X";
        return (checksum.Mark is { } mark ? ((char)mark).ToString() : "") + value.ToString(digits + checksum.Digits, CultureInfo.InvariantCulture);
    }

    private static string Numbers(Random random) =>
        string.Create(CultureInfo.InvariantCulture, $"{random.Next(1_000_000)},{random.NextDouble() * 400:0.00},{random.NextDouble():E3},{random.Next(2)},{random.Next(101)}");

    private static string Words(Random random) => string.Create(
        CultureInfo.InvariantCulture,
        $"\u0002{(random.Next(2) == 0 ? "ST" : "US")}, {random.NextDouble() * 400:0.00} \u00b0C{(random.Next(2) == 0 ? "" : $";D={random.NextDouble():0.000}")}{(random.Next(3) == 0 ? ";F=on" : "")}");
}
