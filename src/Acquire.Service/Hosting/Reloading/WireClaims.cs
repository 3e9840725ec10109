using Acquire.Service.Configuration;

namespace Acquire.Service.Hosting.Reloading;

/// <summary>Which serial ports are read by whom: one that waits to go may hold the port of one that waits to come.</summary>
internal static class WireClaims
{
    /// <summary>Whether two sources cannot be read at the same time.</summary>
    public static bool Clash(SourceConfig one, SourceConfig other) =>
        PortOf(one) is { } port && port == PortOf(other) && !(one is SourceConfig.Modbus first && other is SourceConfig.Modbus second && first.Wire == second.Wire);

    private static string? PortOf(SourceConfig source) => source switch
    {
        SourceConfig.Serial serial => serial.Port,
        SourceConfig.Modbus { Wire: ModbusWire.Rtu rtu } => rtu.Settings.Port,
        _ => null,
    };
}
