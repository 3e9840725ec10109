using System.IO.Ports;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads a serial source.</summary>
internal static class SerialReader
{
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

        var dtr = source.Has("dtr") ? source.Flag("dtr") : (bool?)null;
        var rts = source.Has("rts") ? source.Flag("rts") : (bool?)null;
        if (rts is not null && handshake == Handshake.RequestToSend)
        {
            source.Refuse("rts", "is given beside the handshake \"rts-cts\", which sets that line itself; allowed: one of them");
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
            Dtr = dtr,
            Rts = rts,
            End = LineEndText.Read(source),
            Checksum = ChecksumSection.Read(source.Section("checksum", optional: true)),
        };
        config = PollSection.Read(source, wiring) is { } poll ? config with { Poll = poll } : config with { Layout = LayoutReader.Read(source, wiring, polled: false) };
        CheckChannels(source, config, wiring);
        PollPace.Check(source, config);
        source.RefuseUnknownKeys();
        return config;
    }

    private static void CheckChannels(ConfigObject source, SourceConfig.Serial config, ThermometerWiring wiring)
    {
        ReadingChannel[] channels = [.. config.Channels];
        if (channels.Length == 0)
        {
            return;
        }

        var key = config.Poll is not null ? "poll.commands" : config.Layout is LineLayout.Pattern ? "groups" : "columns";
        ChannelReader.CheckCounts(source, key, channels, wiring);
        ChannelReader.CheckAtMostOne(source, key, channels, ReadingChannel.Time);
    }
}
