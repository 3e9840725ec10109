using System.IO.Ports;
using System.Net;
using Acquire.Core.Control;
using Acquire.Core.Runs;
using Acquire.Service.Configuration;
using Acquire.Simulator;

namespace Acquire.Service.CommandLine;

/// <summary>The demonstration's configuration: the first tester on the serial line, the others over the embedded broker, one of them driven.</summary>
internal static class DemoConfig
{
    public static AcquireConfig For(IReadOnlyList<DemoTester> testers, DemoWire wire, int brokerPort, string dataDirectory) => new()
    {
        Listen = new Uri("http://127.0.0.1:5080"),
        DataDirectory = dataDirectory,
        Mqtt = new MqttConfig.Embedded(IPAddress.Loopback, brokerPort),
        Testers = [.. testers.Select((tester, index) => Tester(tester, index == 0 ? wire.Terminal?.SlavePath : null)).Append(Driven(DemoLaboratory.Driven)).OrderBy(tester => tester.Id, StringComparer.Ordinal)],
    };

    /// <summary>What the demonstration states of its driven tester, as a laboratory that has measured it.</summary>
    public static DriveSettings Drive { get; } = DrivenRunOptions.For(DrivenOptions.For(DemoLaboratory.Driven.Options(0, 1))).Settings with { HighestCelsius = 160, AllowanceCelsius = 40 };

    private static TesterConfig Driven(DemoTester tester)
    {
        var watched = Tester(tester, null);
        var topic = (TopicConfig.Json)((SourceConfig.Mqtt)watched.Source).Topics[0];
        FieldConfig[] fields = [.. topic.Fields, new("command", ReadingChannel.Command, ReadingUnit.None, false), new("heater", ReadingChannel.Heater, ReadingUnit.One, false)];
        return watched with
        {
            Mode = RunMode.Driven,
            Drive = new(Drive, $"acquire/{tester.Id}/drive"),
            Source = new SourceConfig.Mqtt { Topics = [topic with { Fields = fields }] },
        };
    }

    private static TesterConfig Tester(DemoTester tester, string? port) => new()
    {
        Id = tester.Id,
        Name = tester.DisplayName,
        QueueCapacity = 65_536,
        StaleAfterSeconds = 3,
        Thermometer = tester.Thermometer,
        Mode = tester.IsGuided ? RunMode.Guided : RunMode.Observed,
        Source = port is null ? Topics(tester) : Line(port, tester.HasFlameSignal),
    };

    private static SourceConfig.Serial Line(string port, bool flame)
    {
        ColumnConfig[] columns =
        [
            new(ReadingChannel.Time, ReadingUnit.Seconds),
            new(ReadingChannel.Temperature, ReadingUnit.Celsius),
            new(ReadingChannel.Detector, ReadingUnit.None),
        ];
        return new SourceConfig.Serial
        {
            Port = port,
            BaudRate = 115_200,
            DataBits = 8,
            Parity = Parity.None,
            StopBits = StopBits.One,
            Handshake = Handshake.None,
            Separator = ',',
            DecimalSeparator = '.',
            Layout = new LineLayout.Columns(flame ? [.. columns, new(ReadingChannel.Flame, ReadingUnit.None)] : columns),
        };
    }

    private static SourceConfig.Mqtt Topics(DemoTester tester)
    {
        FieldConfig[] fields =
        [
            new("time_s", ReadingChannel.Time, ReadingUnit.Seconds, false),
            .. Thermometer(tester),
            .. tester.IsGuided ? Array.Empty<FieldConfig>() : [new("detector", ReadingChannel.Detector, ReadingUnit.None, false)],
        ];
        return new SourceConfig.Mqtt
        {
            Topics = [new TopicConfig.Json($"acquire/{tester.Id}/readings", tester.HasFlameSignal ? [.. fields, new("flame", ReadingChannel.Flame, ReadingUnit.None, false)] : fields)],
        };
    }

    // The demonstration has these two kinds of thermometer; a field that the tester never sends would be a mistake of this program.
    private static FieldConfig[] Thermometer(DemoTester tester) => tester.Thermometer.IsPlain
        ? [new("temperature_c", ReadingChannel.Temperature, ReadingUnit.Celsius, false)]
        : [new("thermometer_uv", ReadingChannel.Temperature, ReadingUnit.Microvolt, false), new("junction_c", ReadingChannel.Junction, ReadingUnit.Celsius, false)];
}
