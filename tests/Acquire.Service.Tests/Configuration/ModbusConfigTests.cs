using System.IO.Ports;
using Acquire.Service.Configuration;
using Acquire.Service.Tests.Sources.Modbus;
using Xunit;

namespace Acquire.Service.Tests.Configuration;

public sealed class ModbusConfigTests
{
    private const string Source = "testers[0].source.";

    public static TheoryData<string, string, string> Mistakes => new()
    {
        { Tcp("\"host\": \"a:502\", \"port\": 502"), Source + "host", "given \"a:502\"; allowed: a host name or an address, such as \"192.0.2.10\". The port has a key of its own" },
        { Tcp("\"host\": \"a\", \"port\": 0"), Source + "port", "given 0; allowed: a whole number from 1 to 65535" },
        { Tcp("\"host\": \"a\", \"unitId\": 256"), Source + "unitId", "given 256; allowed: a whole number from 0 to 255" },
        { Tcp("\"host\": \"a\", \"baudRate\": 9600"), Source + "baudRate", "there is no such key" },
        { Tcp("\"host\": \"a\", \"periodMilliseconds\": 5"), Source + "periodMilliseconds", "given 5; allowed: a whole number from 10 to 10000" },
        { Tcp("\"host\": \"a\", \"timeoutMilliseconds\": 6000"), Source + "timeoutMilliseconds", "given 6000; allowed: a whole number from 20 to 5000" },
        { Tcp("\"host\": \"a\", \"largestGap\": 124"), Source + "largestGap", "given 124; allowed: a whole number from 0 to 123" },
        { ModbusSamples.RtuText(more: "\"unitId\": 0"), Source + "unitId", "given 0; allowed: a whole number from 1 to 247" },
        { ModbusSamples.RtuText(more: "\"largestGap\": 0"), Source + "unitId", "is missing; allowed: a whole number from 1 to 247" },
        { ModbusSamples.RtuText(more: "\"unitId\": 1, \"dataBits\": 7"), Source + "dataBits", "there is no such key" },
        { ModbusSamples.RtuText(more: "\"unitId\": 1, \"baudRate\": 1200, \"periodMilliseconds\": 100"), Source + "periodMilliseconds", "given 100; at 1200 baud one round of its requests and answers takes 238 ms. Allowed: at least 239, a higher baudRate, or fewer registers" },
        { Register("\"channel\": \"time\", \"unit\": \"s\", \"address\": 5"), Source + "registers[1].channel", "given \"time\"" },
        { Register("\"channel\": \"command\", \"address\": 5"), Source + "registers[1].channel", "given \"command\"" },
        { Register("\"channel\": \"detector\""), Source + "registers[1].address", "is missing; allowed: a whole number from 0 to 65535" },
        { Register("\"channel\": \"detector\", \"address\": 65535, \"type\": \"float32\""), Source + "registers[1].address", "from 0 to 65534" },
        { Register("\"channel\": \"detector\", \"address\": 40001, \"table\": \"coils\""), Source + "registers[1].table", "allowed: one of \"holding\", \"input\"" },
        { Register("\"channel\": \"detector\", \"address\": 5, \"type\": \"float\""), Source + "registers[1].type", "did you mean \"float32\"?" },
        { Register("\"channel\": \"detector\", \"address\": 5, \"wordOrder\": \"swapped\""), Source + "registers[1].wordOrder", "allowed: one of \"high-first\", \"low-first\"" },
        { Register("\"channel\": \"detector\", \"address\": 5, \"scale\": 0"), Source + "registers[1].scale", "other than 0" },
        { Register("\"channel\": \"detector\", \"address\": 5, \"offset\": 1e10"), Source + "registers[1].offset", "given 1e10; allowed: a number from -1000000000 to 1000000000" },
        { Register("\"channel\": \"detector\", \"address\": 5, \"bit\": 3"), Source + "registers[1].bit", "\"detector\" is a number; allowed: leave it out" },
        { Register("\"channel\": \"flame\", \"address\": 5, \"bit\": 16"), Source + "registers[1].bit", "given 16; allowed: a whole number from 0 to 15" },
        { Register("\"channel\": \"flame\", \"address\": 5, \"type\": \"float32\""), Source + "registers[1].type", "\"flame\" says yes or no; allowed: \"int16\" or \"uint16\"" },
        { Register("\"channel\": \"flame\", \"address\": 5, \"scale\": 2"), Source + "registers[1].scale", "is not scaled; allowed: leave it out" },
        { Register("\"channel\": \"detector\", \"address\": 5 }, { \"channel\": \"detector\", \"address\": 6"), Source + "registers", "given 2 channels \"detector\"; allowed: at most one" },
        { ModbusSamples.TcpText(registers: "{ \"channel\": \"detector\", \"address\": 5 }"), Source + "registers", "given 0 temperature channels; allowed: exactly one" },
    };

    [Theory]
    [MemberData(nameof(Mistakes))]
    public void Mistake_is_told_with_its_place_and_what_is_allowed(string source, string path, string told)
    {
        Assert.False(ConfigFile.TryParse(ModbusSamples.File(source), out _, out var errors));

        Assert.Contains(errors, error => error.Path == path && error.Message.Contains(told, StringComparison.Ordinal));
    }

    [Fact]
    public void Tester_that_is_read_by_Modbus_is_not_driven()
    {
        Assert.False(ConfigFile.TryParse(ModbusSamples.File(ModbusSamples.TcpText(), "\"mode\": \"driven\", \"drive\": { \"highestCelsius\": 300 },"), out _, out var errors));

        Assert.Equal(["testers[0].mode", "testers[0].drive"], errors.Select(error => error.Path));
        Assert.Equal("given \"driven\" for a tester that is read by Modbus; allowed: \"observed\", \"guided\". Nothing is ever written to a unit", errors[0].Message);
    }

    [Theory]
    [InlineData("\"unitId\": 2, \"baudRate\": 9600", "testers[1].source.baudRate", "differs from testers[0].source.baudRate, and both share the port \"/dev/none\". Allowed: the same for all units of a line")]
    [InlineData("\"unitId\": 2, \"parity\": \"none\"", "testers[1].source.parity", "differs from")]
    [InlineData("\"unitId\": 2, \"stopBits\": \"two\"", "testers[1].source.stopBits", "differs from")]
    [InlineData("\"unitId\": 2, \"periodMilliseconds\": 16", "testers[1].source.periodMilliseconds", "and other testers take 7 % of the line")]
    public void Units_of_one_line_fit_together(string more, string path, string told)
    {
        var text = $$"""{ "testers": [ { "id": "a", "source": {{ModbusSamples.RtuText()}} }, { "id": "b", "source": {{ModbusSamples.RtuText(more: more)}} } ] }""";

        Assert.False(ConfigFile.TryParse(text, out _, out var errors));

        Assert.Contains(errors, error => error.Path == path && error.Message.Contains(told, StringComparison.Ordinal));
    }

    [Fact]
    public void Port_of_a_serial_tester_is_no_line_of_units()
    {
        var serial = """{ "id": "s", "source": { "kind": "serial", "port": "/dev/none", "columns": [ { "channel": "temperature", "unit": "degC" } ] } }""";

        Assert.False(ConfigFile.TryParse($$"""{ "testers": [ { "id": "a", "source": {{ModbusSamples.RtuText()}} }, {{serial}} ] }""", out _, out var errors));

        Assert.Equal("testers[0].source.port", Assert.Single(errors).Path);
    }

    [Fact]
    public void What_is_left_out_is_as_the_specification_wants_it()
    {
        var rtu = ModbusSamples.Rtu(more: "\"unitId\": 17");
        var tcp = ModbusSamples.Tcp(more: "\"largestGap\": 8");

        // Serial Line V1.02, 2.5.1: 19,200 baud, even parity. Messaging on TCP/IP V1.0b: port 502, unit 255.
        Assert.Equal(new PortSettings("/dev/none", 19_200, 8, Parity.Even, StopBits.One, Handshake.None), ((ModbusWire.Rtu)rtu.Wire).Settings);
        Assert.Equal("modbus rtu /dev/none, 19200 baud, unit 17", rtu.Description);
        Assert.Equal("modbus tcp 127.0.0.1:502, unit 255", tcp.Description);
        Assert.Equal((200, 500, 8), (tcp.PeriodMilliseconds, tcp.TimeoutMilliseconds, tcp.LargestGap));
        Assert.Equal(
            new RegisterConfig(ReadingChannel.Temperature, ReadingUnit.Celsius, 17, RegisterTable.Holding, 0, RegisterType.Int16) { Scale = 0.1 },
            rtu.Registers[0]);
    }

    private static string Tcp(string keys) => $$"""{ "kind": "modbus-tcp", {{keys}}, "registers": [ {{ModbusSamples.Plain}} ] }""";

    private static string Register(string keys) => ModbusSamples.TcpText(registers: $$"""{ "channel": "temperature", "unit": "degC", "address": 0 }, { {{keys}} }""");
}
