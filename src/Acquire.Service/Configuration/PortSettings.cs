using System.IO.Ports;

namespace Acquire.Service.Configuration;

/// <summary>A serial port and how bits go over it. Two that are equal open the same port in the same way.</summary>
/// <param name="Port">Device path or port name.</param>
/// <param name="BaudRate">Bits per second; 110 to 4,000,000.</param>
/// <param name="DataBits">5 to 8.</param>
/// <param name="Parity">Parity bit.</param>
/// <param name="StopBits">Stop bits.</param>
/// <param name="Handshake">Flow control.</param>
public sealed record PortSettings(string Port, int BaudRate, int DataBits, Parity Parity, StopBits StopBits, Handshake Handshake)
{
    /// <summary>The line DTR once the port is open; null leaves it to the driver.</summary>
    public bool? Dtr { get; init; }

    /// <summary>The line RTS once the port is open; null leaves it to the driver.</summary>
    public bool? Rts { get; init; }

    /// <summary>Bits on the wire for one character: start, data, parity, stop.</summary>
    public double BitsPerCharacter => 1 + DataBits + (Parity == Parity.None ? 0 : 1) + StopBits switch { StopBits.Two => 2, StopBits.OnePointFive => 1.5, _ => 1 };

    /// <summary>How long a number of characters takes on the wire, s.</summary>
    public double SecondsFor(double characters) => characters * BitsPerCharacter / BaudRate;
}
