using System.IO.Ports;
using Acquire.Core.Methods;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Service.Archive;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Lanes.Starting;
using Acquire.Service.Live;
using Microsoft.Extensions.Logging.Abstractions;
using Xunit;

namespace Acquire.Service.Tests.Lanes;

/// <summary>A tester, an archive and rows for tests. The figures are invented.</summary>
internal static class TestTester
{
    public const double ExpectedFlashCelsius = 220;

    public static StartRunRequest Request { get; } = new("iso-2592-2017", ExpectedFlashCelsius, 101.3, "Compressor oil, lot 7");

    public static RunOrder Order
    {
        get
        {
            Assert.True(RunOrderRules.TryMake(Request, new(true, null), MethodSet.Embedded, out var order, out var errors), string.Join("; ", errors));
            return order;
        }
    }

    public static RunArchive OpenArchive() =>
        RunArchive.Open(Path.Combine(TestFolders.Make("acquire-lanes-"), "runs.db"), TimeProvider.System, NullLogger<RunArchive>.Instance);

    public static TesterConfig Config(string id = "bench-1", StartRunRequest? autoStart = null, int queueCapacity = 4096) => new()
    {
        Id = id,
        Name = $"Tester {id}",
        QueueCapacity = queueCapacity,
        StaleAfterSeconds = 3,
        AutoStart = autoStart,
        Source = new SourceConfig.Serial
        {
            Port = "/dev/simulated-wire",
            BaudRate = 9600,
            DataBits = 8,
            Parity = Parity.None,
            StopBits = StopBits.One,
            Handshake = Handshake.None,
            Separator = ',',
            DecimalSeparator = '.',
            Layout = new LineLayout.Columns(
            [
                new(ReadingChannel.Time, ReadingUnit.Seconds),
                new(ReadingChannel.Temperature, ReadingUnit.Celsius),
                new(ReadingChannel.Detector, ReadingUnit.None),
                new(ReadingChannel.Flame, ReadingUnit.None),
            ]),
        },
    };

    /// <summary>A tester that is driven; its columns tell which command it obeys and what power it gives.</summary>
    public static TesterConfig Driven(string id = "bench-1", int lifetimeMilliseconds = 1500)
    {
        var config = Config(id);
        var serial = (SourceConfig.Serial)config.Source;
        return config with
        {
            Mode = RunMode.Driven,
            Source = serial with { Layout = new LineLayout.Columns([.. ((LineLayout.Columns)serial.Layout!).List, new(ReadingChannel.Command, ReadingUnit.None), new(ReadingChannel.Heater, ReadingUnit.One)]) },
            Drive = new(new() { HighestCelsius = 320, LifetimeMilliseconds = lifetimeMilliseconds }, null),
        };
    }

    public static ReadingRow Row(double atSeconds, double celsius = 60, double detector = 0.1, bool flame = false) =>
        new(atSeconds, RowChannels.Temperature | RowChannels.Detector | RowChannels.Flame, celsius, detector, flame);

    /// <summary>A heating cup at ten rows a second, starting at a device time.</summary>
    public static IEnumerable<ReadingRow> Heating(double fromSeconds, int rows, double celsiusPerRow = 0.01) =>
        Enumerable.Range(0, rows).Select(index => Row(fromSeconds + (index / 10.0), 60 + (index * celsiusPerRow), Math.Sin(index), index % 40 < 10));

    public static RunSummary Opening(string id) =>
        new(id, "bench-1", MethodCatalog.All.Single(method => method.Id == "astm-d92-18").Id, "oil", ExpectedFlashCelsius, DateTimeOffset.UnixEpoch, null, 0, false, null);

    public static PhaseChanged Event(double atSeconds) => new(atSeconds, RunPhase.Ready, RunPhase.FastHeating, 60);
}
