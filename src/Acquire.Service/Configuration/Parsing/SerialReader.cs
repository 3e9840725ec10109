using System.IO.Ports;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads a serial source.</summary>
internal static class SerialReader
{
    private const int MostColumns = 64;

    internal const string AllowedPort = "a device path such as /dev/serial/by-id/... or a port name such as COM3";

    internal static readonly Dictionary<string, Parity> Parities = new()
    {
        ["none"] = Parity.None,
        ["odd"] = Parity.Odd,
        ["even"] = Parity.Even,
        ["mark"] = Parity.Mark,
        ["space"] = Parity.Space,
    };

    internal static readonly Dictionary<string, StopBits> Stops = new()
    {
        ["one"] = StopBits.One,
        ["one-and-a-half"] = StopBits.OnePointFive,
        ["two"] = StopBits.Two,
    };

    private static readonly Dictionary<string, Handshake> Handshakes = new()
    {
        ["none"] = Handshake.None,
        ["xon-xoff"] = Handshake.XOnXOff,
        ["rts-cts"] = Handshake.RequestToSend,
    };

    private static readonly Dictionary<string, char> Separators = new() { [","] = ',', [";"] = ';', ["\t"] = '\t', [" "] = ' ', ["|"] = '|' };
    private static readonly Dictionary<string, char> DecimalSeparators = new() { ["."] = '.', [","] = ',' };

    public static SourceConfig.Serial Read(ConfigObject source, ThermometerWiring wiring)
    {
        source.TryChoice("parity", Parities, "none", out var parity);
        source.TryChoice("stopBits", Stops, "one", out var stopBits);
        source.TryChoice("handshake", Handshakes, "none", out var handshake);
        source.TryChoice("separator", Separators, ",", out var separator);
        source.TryChoice("decimalSeparator", DecimalSeparators, ".", out var decimalSeparator);
        if (separator == decimalSeparator)
        {
            source.Refuse("decimalSeparator", "given \",\" where columns are separated by \",\" too; allowed: a decimal comma only with another separator");
        }

        var config = new SourceConfig.Serial
        {
            Port = source.Text("port", null, 4096, AllowedPort) ?? "",
            BaudRate = source.Whole("baudRate", 110, 4_000_000, 9600),
            DataBits = source.Whole("dataBits", 5, 8, 8),
            Parity = parity,
            StopBits = stopBits,
            Handshake = handshake,
            Separator = separator,
            DecimalSeparator = decimalSeparator,
            Columns = ReadColumns(source, wiring),
        };
        source.RefuseUnknownKeys();
        return config;
    }

    private static List<ColumnConfig> ReadColumns(ConfigObject source, ThermometerWiring wiring)
    {
        var columns = new List<ColumnConfig>();
        foreach (var section in source.Sections("columns", 1, MostColumns))
        {
            var (channel, unit) = ChannelReader.ReadColumn(section, wiring);
            columns.Add(new(channel, unit));
            section.RefuseUnknownKeys();
        }

        if (columns.Count > 0)
        {
            var channels = columns.ConvertAll(column => column.Channel);
            ChannelReader.CheckCounts(source, "columns", channels);
            ChannelReader.CheckAtMostOne(source, "columns", channels, ReadingChannel.Time);
        }

        return columns;
    }
}
