using System.Globalization;
using Acquire.Service.Configuration;
using Acquire.Service.Sources.Modbus;

namespace Acquire.Service.Tests.Sources.Modbus;

/// <summary>Modbus sources and frames for tests.</summary>
internal static class ModbusSamples
{
    /// <summary>A temperature in tenths of a degree and a detector as a float, in one request of three registers.</summary>
    public const string Plain = """
        { "channel": "temperature", "unit": "degC", "address": 0, "type": "int16", "scale": 0.1 },
        { "channel": "detector", "address": 1, "type": "float32" }
        """;

    /// <summary>A source over the network.</summary>
    public static SourceConfig.Modbus Tcp(int port = 502, string more = "\"unitId\": 1, \"periodMilliseconds\": 50, \"timeoutMilliseconds\": 300", string registers = Plain) =>
        Source(TcpText(port, more, registers));

    /// <summary>The text of a source over the network.</summary>
    public static string TcpText(int port = 502, string more = "\"unitId\": 1", string registers = Plain) => string.Create(
        CultureInfo.InvariantCulture, $$"""{ "kind": "modbus-tcp", "host": "127.0.0.1", "port": {{port}}, {{more}}, "registers": [ {{registers}} ] }""");

    /// <summary>A source over a serial line.</summary>
    public static SourceConfig.Modbus Rtu(string port = "/dev/none", string more = "\"unitId\": 1, \"baudRate\": 115200, \"periodMilliseconds\": 50, \"timeoutMilliseconds\": 300", string registers = Plain) =>
        Source(RtuText(port, more, registers));

    /// <summary>The text of a source over a serial line.</summary>
    public static string RtuText(string port = "/dev/none", string more = "\"unitId\": 1", string registers = Plain) =>
        $$"""{ "kind": "modbus-rtu", "port": "{{port}}", {{more}}, "registers": [ {{registers}} ] }""";

    /// <summary>A file with one tester.</summary>
    public static string File(string source, string more = "") => $$"""{ "testers": [ { "id": "a", {{more}} "source": {{source}} } ] }""";

    /// <summary>Bytes as the specification prints them.</summary>
    public static byte[] Bytes(string hex) => Convert.FromHexString(hex.Replace(" ", "", StringComparison.Ordinal));

    /// <summary>A frame of a serial line: the bytes and their checksum.</summary>
    public static byte[] RtuFrame(params ReadOnlySpan<byte> body)
    {
        var crc = Crc16.Of(body);
        return [.. body, (byte)(crc & 0xFF), (byte)(crc >> 8)];
    }

    private static SourceConfig.Modbus Source(string text) => (SourceConfig.Modbus)SourceSamples.Config(File(text)).Testers[0].Source;
}
