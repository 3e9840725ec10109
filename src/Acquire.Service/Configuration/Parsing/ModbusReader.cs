using System.IO.Ports;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads a Modbus source: the wire and how it is polled.</summary>
internal static class ModbusReader
{
    private const int MostRegisters = 64;
    private const int UsualPort = 502;
    private const string AllowedHost = "a host name or an address, such as \"192.0.2.10\"";

    // MODBUS over Serial Line V1.02, 2.5.1: 19.2 kbit/s and even parity are what a unit must come with.
    private const int UsualBaudRate = 19_200;
    private const string UsualParity = "even";

    public static SourceConfig.Modbus Read(ConfigObject source, ThermometerWiring wiring, bool overNetwork)
    {
        ModbusWire wire = overNetwork ? ReadTcp(source) : ReadRtu(source);
        // On a serial line 0 is for all units and gets no answer; over the network 255 is the station itself (Messaging on TCP/IP V1.0b, 4.4.2.3).
        var ids = overNetwork ? new UnitIds(0, 255, 255) : new UnitIds(1, 247, null);
        var unitId = source.Whole("unitId", ids.From, ids.To, ids.Usual);
        var config = new SourceConfig.Modbus
        {
            Wire = wire,
            PeriodMilliseconds = source.Whole("periodMilliseconds", 10, 10_000, 200),
            TimeoutMilliseconds = source.Whole("timeoutMilliseconds", 20, 5000, 500),
            LargestGap = source.Whole("largestGap", 0, 123, 8),
            Registers = ReadRegisters(source, wiring, ids with { Usual = unitId }),
        };
        source.RefuseUnknownKeys();
        return config;
    }

    private static ModbusWire.Rtu ReadRtu(ConfigObject source)
    {
        source.TryChoice("parity", SerialReader.Parities, UsualParity, out var parity);
        source.TryChoice("stopBits", SerialReader.Stops, "one", out var stopBits);
        var port = source.Text("port", null, 4096, SerialReader.AllowedPort) ?? "";
        return new(new(port, source.Whole("baudRate", 110, 4_000_000, UsualBaudRate), 8, parity, stopBits, Handshake.None));
    }

    private static ModbusWire.Tcp ReadTcp(ConfigObject source)
    {
        var host = source.Text("host", null, 253, AllowedHost) ?? "";
        if (host.Length > 0 && Uri.CheckHostName(host) == UriHostNameType.Unknown)
        {
            source.Refuse("host", $"given \"{JsonText.Shown(host)}\"; allowed: {AllowedHost}. The port has a key of its own");
        }

        return new(host, source.Whole("port", 1, 65_535, UsualPort));
    }

    private static List<RegisterConfig> ReadRegisters(ConfigObject source, ThermometerWiring wiring, UnitIds ids)
    {
        var registers = new List<RegisterConfig>();
        foreach (var section in source.Sections("registers", 1, MostRegisters))
        {
            registers.Add(RegisterReader.Read(section, wiring, ids));
            section.RefuseUnknownKeys();
        }

        if (registers.Count > 0)
        {
            ChannelReader.CheckCounts(source, "registers", registers.ConvertAll(register => register.Channel), wiring);
        }

        return registers;
    }
}

/// <summary>Which units there can be on a wire.</summary>
/// <param name="From">The lowest.</param>
/// <param name="To">The highest.</param>
/// <param name="Usual">The one that is meant where none is said; null where it must be.</param>
internal sealed record UnitIds(int From, int To, int? Usual);
