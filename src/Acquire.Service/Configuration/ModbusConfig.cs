using System.Globalization;

namespace Acquire.Service.Configuration;

/// <summary>Which of the two tables of 16-bit registers of the Modbus data model is read.</summary>
public enum RegisterTable
{
    /// <summary>Holding registers, function 0x03.</summary>
    Holding,

    /// <summary>Input registers, function 0x04.</summary>
    Input,
}

/// <summary>What a value in one register or several in a row is.</summary>
public enum RegisterType
{
    /// <summary>Two's complement, one register.</summary>
    Int16,

    /// <summary>Without a sign, one register.</summary>
    UInt16,

    /// <summary>Two's complement, two registers.</summary>
    Int32,

    /// <summary>Without a sign, two registers.</summary>
    UInt32,

    /// <summary>Two's complement, four registers; beyond 2^53 the last digits are lost.</summary>
    Int64,

    /// <summary>Without a sign, four registers; beyond 2^53 the last digits are lost.</summary>
    UInt64,

    /// <summary>IEEE 754 binary32, two registers.</summary>
    Float32,

    /// <summary>IEEE 754 binary64, four registers.</summary>
    Float64,
}

/// <summary>The wire that Modbus is spoken on. Sources with equal wires share it.</summary>
public abstract record ModbusWire
{
    private ModbusWire()
    {
    }

    /// <summary>The wire in a few words.</summary>
    public abstract string Name { get; }

    /// <summary>A serial line; 8 data bits, no flow control.</summary>
    /// <param name="Settings">Port and rate.</param>
    public sealed record Rtu(PortSettings Settings) : ModbusWire
    {
        /// <inheritdoc/>
        public override string Name => Settings.Port;
    }

    /// <summary>A connection over the network.</summary>
    /// <param name="Host">Name or address.</param>
    /// <param name="Port">1 to 65535.</param>
    public sealed record Tcp(string Host, int Port) : ModbusWire
    {
        /// <inheritdoc/>
        public override string Name => string.Create(CultureInfo.InvariantCulture, $"{(Host.Contains(':') ? $"[{Host}]" : Host)}:{Port}");
    }
}

/// <summary>One value among the registers of a unit.</summary>
/// <param name="Channel">What it holds.</param>
/// <param name="Unit">Its unit once scaled; none for detectors and for yes or no.</param>
/// <param name="UnitId">Unit that holds it: 1 to 247 on a serial line, 0 to 255 over the network.</param>
/// <param name="Table">Its table.</param>
/// <param name="Address">Of its first register as it goes over the wire, 0 to 65535.</param>
/// <param name="Type">What it is.</param>
public sealed record RegisterConfig(ReadingChannel Channel, ReadingUnit Unit, byte UnitId, RegisterTable Table, int Address, RegisterType Type)
{
    /// <summary>Whether the register with the lowest address holds the lowest bits, against the way of the specification.</summary>
    public bool LowWordFirst { get; init; }

    /// <summary>Whether the first byte of a register holds its low bits, against the specification.</summary>
    public bool LowByteFirst { get; init; }

    /// <summary>The raw value is multiplied by this; not 0.</summary>
    public double Scale { get; init; } = 1;

    /// <summary>This is added after scaling, in the unit of the channel.</summary>
    public double Offset { get; init; }

    /// <summary>The bit that says yes or no, 0 the lowest to 15; null where the whole register does, as 0 or 1.</summary>
    public int? Bit { get; init; }

    /// <summary>How many registers it takes: 1, 2 or 4.</summary>
    public int Registers => Words(Type);

    /// <summary>How many registers a type takes: 1, 2 or 4.</summary>
    public static int Words(RegisterType type) => type switch
    {
        RegisterType.Int16 or RegisterType.UInt16 => 1,
        RegisterType.Int32 or RegisterType.UInt32 or RegisterType.Float32 => 2,
        _ => 4,
    };
}
