namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads one value of a Modbus source.</summary>
internal static class RegisterReader
{
    private const double Largest = 1e9;

    private static readonly Dictionary<string, RegisterTable> Tables = new() { ["holding"] = RegisterTable.Holding, ["input"] = RegisterTable.Input };
    private static readonly Dictionary<string, bool> Orders = new() { ["high-first"] = false, ["low-first"] = true };

    private static readonly Dictionary<string, RegisterType> Types = new()
    {
        ["int16"] = RegisterType.Int16,
        ["uint16"] = RegisterType.UInt16,
        ["int32"] = RegisterType.Int32,
        ["uint32"] = RegisterType.UInt32,
        ["int64"] = RegisterType.Int64,
        ["uint64"] = RegisterType.UInt64,
        ["float32"] = RegisterType.Float32,
        ["float64"] = RegisterType.Float64,
    };

    public static RegisterConfig Read(ConfigObject section, ThermometerWiring wiring, UnitIds ids)
    {
        var (channel, unit) = ChannelReader.ReadRegister(section, wiring);
        var yesOrNo = channel.IsYesOrNo();
        section.TryChoice("table", Tables, "holding", out var table);
        section.TryChoice("type", Types, yesOrNo ? "uint16" : "int16", out var type);
        section.TryChoice("wordOrder", Orders, "high-first", out var lowWordFirst);
        section.TryChoice("byteOrder", Orders, "high-first", out var lowByteFirst);
        var register = new RegisterConfig(
            channel,
            unit,
            (byte)section.Whole("unitId", ids.From, ids.To, ids.Usual),
            table,
            section.Whole("address", 0, 65_536 - RegisterConfig.Words(type), null),
            type)
        {
            LowWordFirst = lowWordFirst,
            LowByteFirst = lowByteFirst,
        };
        return yesOrNo ? ReadYesOrNo(section, register) : ReadNumber(section, register);
    }

    private static RegisterConfig ReadYesOrNo(ConfigObject section, RegisterConfig register)
    {
        var word = ChannelReader.Word(register.Channel);
        section.Forbid("scale", $"\"{word}\" says yes or no and is not scaled; allowed: leave it out");
        section.Forbid("offset", $"\"{word}\" says yes or no and is not moved; allowed: leave it out");
        if (register.Registers != 1)
        {
            section.Refuse("type", $"\"{word}\" says yes or no; allowed: \"int16\" or \"uint16\", with the key \"bit\" where one bit of it says so");
        }

        return register with { Bit = section.Has("bit") ? section.Whole("bit", 0, 15, 0) : null };
    }

    private static RegisterConfig ReadNumber(ConfigObject section, RegisterConfig register)
    {
        section.Forbid("bit", $"\"{ChannelReader.Word(register.Channel)}\" is a number; allowed: leave it out. A bit is for channels that say yes or no");
        var scale = section.Number("scale", -Largest, Largest, "(not 0)", optional: true) ?? 1;
        if (scale == 0)
        {
            section.Refuse("scale", FormattableString.Invariant($"given 0; allowed: a number from {-Largest} to {Largest} other than 0"));
        }

        return register with { Scale = scale, Offset = section.Number("offset", -Largest, Largest, "in the unit of the channel", optional: true) ?? 0 };
    }
}
