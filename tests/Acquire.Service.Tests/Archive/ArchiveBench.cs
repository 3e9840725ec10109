using Acquire.Core.Methods;
using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Thermometry;
using Acquire.Service.Archive;
using Microsoft.Data.Sqlite;
using Microsoft.Extensions.Logging.Abstractions;
using Xunit;

namespace Acquire.Service.Tests.Archive;

/// <summary>A folder of its own for each test, and what a run is made of.</summary>
internal sealed class ArchiveBench : IDisposable
{
    public static readonly DateTimeOffset Start = new(2026, 3, 2, 9, 30, 15, 123, TimeSpan.Zero);

    public string Folder { get; } = TestFolders.Make("acquire-archive-");

    public string Path => System.IO.Path.Combine(Folder, "runs.db");

    public RunArchive Open(ArchiveOptions? options = null, TimeProvider? time = null) =>
        RunArchive.Open(Path, time ?? TimeProvider.System, NullLogger<RunArchive>.Instance, options);

    public static RunHeader Header(string id, string tester = "bench-1") => new(id, tester, $"turbine oil of {id}", Plan, Start, "0.1.0", "serial /dev/tester, 50 rows/s");

    public static RunPlan Plan { get; } = new()
    {
        Method = MethodCatalog.All.Single(method => method.Id == "astm-d92-18"),
        ExpectedFlashCelsius = 220,
        StationPressureKilopascals = 98.7,
        HasFlameSignal = true,
    };

    /// <summary>A thermocouple with everything that a chain can have.</summary>
    public static ThermometerChain Thermocouple { get; } = new()
    {
        Unit = ThermometerUnit.Microvolt,
        Sensor = new ThermocoupleSensor(ThermocoupleType.K, ReferenceJunctionKind.Measured, null),
        Calibration = new CalibrationCertificate
        {
            Number = "C-118",
            CalibratedOn = new DateOnly(2026, 1, 12),
            DueOn = new DateOnly(2027, 1, 12),
            Points = [new(20, 0.1, 0.3), new(250, -0.45, 0.5)],
        },
        Limits = new ThermometerLimits { HottestCelsius = 420, ConverterHigh = 32_767 },
    };

    public static RunResult Result { get; } = new(
        Verdict.Doubtful,
        new DeterminedPoint(221.4, 222.05, 222, 812.34),
        null,
        98.7,
        [new Application(1, 700.02, 210.1, 1.02, ApplicationEvidence.FlameSignal, false, 0.4)],
        [new Finding("rate-too-fast", FindingWeight.Doubtful, 650, 205.5, 6.4, 6, "The rate was 6.4 °C/min; 5 to 6 is allowed.")]);

    /// <summary>One of every kind of fact, in the order in which they are declared.</summary>
    public static IReadOnlyList<RunOutput> EveryFact { get; } =
    [
        new PhaseChanged(0, RunPhase.Ready, RunPhase.FastHeating, null),
        new BandEntered(1, 40, new RateBand(5, 6), 220),
        new ApplicationPrompted(2, 1, 210),
        new ObservationMade(2.2, 2.1, Sighting.WentOut, "Ada"),
        new ObservationWithdrawn(2.22, 2.1, 2.2, Sighting.WentOut, "Ada"),
        new TemperatureSet(2.23, 1, 60),
        new PortionCharged(2.24, 2.1, 2.05, "Ada"),
        new PortionTested(2.245, new(1, 60, 2.05, 2.24, 2.241, 60.1, PortionOutcome.Halo, "wait-too-short")),
        new HeaterTurnedOn(2.21, 2.2, "R. Halden"),
        new HeaterCut(2.22, 2.2, "heater-reading-silent", "No sound thermometer reading for 2.1 s (limit 2.0 s). Check the thermometer and its wire.", true),
        new ApplicationStarted(2.25, 1, 210, ApplicationEvidence.FlameSignal),
        new ApplicationJudged(3, Result.Applications[0]),
        new FlashDetected(4, 221.4, 3),
        new BurnEnded(5, 4.1, 0.9),
        new FireDetected(6, 5.5, 245.25),
        new FindingRaised(7, Result.Findings[0]),
        new AlarmRaised(8, "source-silent", "Nothing came from the tester for 5 s; look at the cable."),
        new AlarmCleared(9, "source-silent"),
        new RunClosed(10, Result),
        new AxisBegun(0, null, 812.25, true, Start.AddSeconds(2)),
        new RunResumed(7.5, 7.5, Start.AddMinutes(3), 42.5, 5, "0.1.0", "0.1.1"),
        new RunInterrupted(7.5, "The service had stopped in mid-run, and the run could not go on: no reading came within 10 min after the service was started again. What was recorded is kept. Begin again with a fresh test portion."),
    ];

    /// <summary>A plausible run: 50 rows a second, a ramp read to 0.01 °C, a detector read to 0.1 mV, a pass of the flame now and then.</summary>
    public static ReadingRow[] PlausibleRun(int rows)
    {
        var random = new Random(20260302);
        return [.. Enumerable.Range(0, rows).Select(i => new ReadingRow(
            i / 50.0,
            RowChannels.Temperature | RowChannels.Detector | RowChannels.Flame,
            Math.Round(40 + (i / 50.0 * 5.5 / 60) + ((random.NextDouble() - 0.5) * 0.06), 2),
            Math.Round(0.2 + ((random.NextDouble() - 0.5) * 0.02), 4),
            i % 1000 < 50))];
    }

    /// <summary>The same run by a thermocouple: whole µV, the junction read to 0.01 °C, now and then a mark.</summary>
    public static ReadingRow[] PlausibleSignalRun(int rows)
    {
        var random = new Random(20260303);
        return [.. PlausibleRun(rows).Select((row, i) => row with
        {
            Present = row.Present | RowChannels.Signal | (i % 50 == 0 ? RowChannels.Junction : 0),
            // About 41 µV a kelvin, a type K thermocouple near room temperature (value from memory).
            Signal = Math.Round((row.TemperatureCelsius - 24) * 41),
            JunctionCelsius = i % 50 == 0 ? Math.Round(24 + ((random.NextDouble() - 0.5) * 0.1), 2) : 0,
            Marks = i % 400 == 7 ? ReadingMarks.ImpossibleJump | ReadingMarks.StepTaken : 0,
        })];
    }

    /// <summary>What makes an archive of version 5 of one of version 6: everything that came with it goes.</summary>
    public const string BackToVersion5 = "DROP TABLE imports; DROP TABLE holds; DROP TABLE prunings; DROP INDEX runs_by_start; DROP INDEX events_resumed; PRAGMA user_version = 5";

    /// <summary>A look into the file past the archive, as another program could do it.</summary>
    public SqliteConnection Stranger(bool writes = false)
    {
        var connection = new SqliteConnection(new SqliteConnectionStringBuilder
        {
            DataSource = Path,
            Mode = writes ? SqliteOpenMode.ReadWriteCreate : SqliteOpenMode.ReadOnly,
            Pooling = false,
        }.ConnectionString);
        connection.Open();
        return connection;
    }

    public static object? Ask(SqliteConnection connection, string sql)
    {
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        return command.ExecuteScalar();
    }

    /// <summary>The bits, for comparisons that must not take -0.0 for 0.0.</summary>
    public static (long, int, long, long, bool, long, long, int, (long, bool, bool, long, long, long, long), long) Bits(ReadingRow row) => (
        BitConverter.DoubleToInt64Bits(row.AtSeconds),
        (int)row.Present,
        BitConverter.DoubleToInt64Bits(row.TemperatureCelsius),
        BitConverter.DoubleToInt64Bits(row.Detector),
        row.FlameOver,
        BitConverter.DoubleToInt64Bits(row.Signal),
        BitConverter.DoubleToInt64Bits(row.JunctionCelsius),
        (int)row.Marks,
        (row.Command, row.Stirring, row.Lit, BitConverter.DoubleToInt64Bits(row.HeaterFraction), BitConverter.DoubleToInt64Bits(row.StirrerRevolutionsPerMinute),
            BitConverter.DoubleToInt64Bits(row.AirMetresPerSecond), BitConverter.DoubleToInt64Bits(row.AmbientCelsius)),
        BitConverter.DoubleToInt64Bits(row.SecondDetector));

    public static void AssertSameBits(IEnumerable<ReadingRow> expected, IEnumerable<ReadingRow> actual) => Assert.Equal(expected.Select(Bits), actual.Select(Bits));

    public void Dispose() => Directory.Delete(Folder, recursive: true);
}
