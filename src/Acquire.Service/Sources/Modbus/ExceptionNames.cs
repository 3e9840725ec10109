using System.Globalization;

namespace Acquire.Service.Sources.Modbus;

/// <summary>Exception codes by the names of the MODBUS Application Protocol Specification V1.1b3, section 7.</summary>
public static class ExceptionNames
{
    /// <summary>The code of an address that a unit does not have.</summary>
    public const byte IllegalDataAddress = 0x02;

    /// <summary>Code and name, such as <c>exception 02 ILLEGAL DATA ADDRESS</c>.</summary>
    public static string Of(byte code) => string.Create(CultureInfo.InvariantCulture, $"exception {code:X2} {Name(code)}");

    private static string Name(byte code) => code switch
    {
        0x01 => "ILLEGAL FUNCTION",
        IllegalDataAddress => "ILLEGAL DATA ADDRESS",
        0x03 => "ILLEGAL DATA VALUE",
        0x04 => "SERVER DEVICE FAILURE",
        0x05 => "ACKNOWLEDGE",
        0x06 => "SERVER DEVICE BUSY",
        0x08 => "MEMORY PARITY ERROR",
        0x0A => "GATEWAY PATH UNAVAILABLE",
        0x0B => "GATEWAY TARGET DEVICE FAILED TO RESPOND",
        _ => "(not in the specification)",
    };
}
