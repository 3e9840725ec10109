using Acquire.Service.Configuration;

namespace Acquire.Service.Sources.Capture;

/// <summary>Finds who decodes the records of a wire again.</summary>
internal static class WireReplays
{
    /// <summary>Takes records as the source's reader would take the wire.</summary>
    /// <param name="source">How the wire is read.</param>
    /// <param name="line">Told each line, message or answer, its time in s, and what became of it.</param>
    public static Action<WireRecord> For(SourceConfig source, Action<double, TappedLine> line) => source switch
    {
        SourceConfig.Serial serial => new WireReplay(serial, line).Take,
        SourceConfig.Mqtt mqtt => new MessageReplay(mqtt, line).Take,
        SourceConfig.Modbus modbus => new RegisterReplay(modbus, line).Take,
        _ => throw new ArgumentOutOfRangeException(nameof(source)),
    };
}
