using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using Acquire.Core.Detection;
using Acquire.Core.Methods;
using Acquire.Core.Runs;
using Acquire.Core.Thermometry;
using Acquire.Service.Archive.Corrections;
using Acquire.Service.Archive.Influx;
using Acquire.Service.Live;
using Acquire.Service.Tests.Archive;
using Acquire.Service.Tests.Configuration;
using Xunit;

namespace Acquire.Service.Tests.Live;

/// <summary>
/// What the service sends, kept as files that the page's tests read. A name changed here alone fails these tests; after
/// ACQUIRE_WRITE_FIXTURES=1 has written the files anew, it fails the page's tests until the page knows the name too.
/// </summary>
public sealed class ContractFixtureTests
{
    private static readonly JsonSerializerOptions Written = new(LiveJson.Options) { WriteIndented = true, NewLine = "\n", Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    private static RunSummary Summary { get; } = new(
        "20260302T093015Z-bench-1-7f3a", "bench-1", ArchiveBench.Plan.Method.Id, "Turbine oil, lot 3", 220, ArchiveBench.Start,
        ArchiveBench.Start.AddMinutes(30), 90_000, false, ArchiveBench.Result, Resumed: 1);

    private static RunStatus Status { get; } = new()
    {
        Phase = RunPhase.HeatingToFirePoint,
        AtSeconds = 820.5,
        TemperatureCelsius = 222.4,
        RateCelsiusPerMinute = 5.4,
        RateUncertaintyCelsiusPerMinute = 0.1,
        Band = new RateBand(5, 6),
        NextApplicationCelsius = 224,
        SecondsToNextApplication = 17.8,
        PromptNumber = 10,
        PromptDueCelsius = 224,
        WithdrawableSighting = Sighting.Halo,
        WithdrawableAtSeconds = 818.5,
        WithdrawableSeconds = 8,
        Applications = 9,
        FlameOver = false,
        Detector = 0.21,
        SecondDetector = 14.2,
        ObservedFlashCelsius = 221.4,
        ObservedFireCelsius = 245.25,
        BurningSeconds = 1.5,
        DetectorCheck = new(
            10, 0.21, 1.75, 240, 5, 0.2,
            [new(DetectorReasonCodes.WildReadings, DetectorTrust.None, "10 readings a second are too few to tell a wild one from a flash, and 5 wild ones came in 240.0 s of quiet.")]),
        LagCelsius = 0.73,
        ThermometerSignal = 8341,
        JunctionCelsius = 24.85,
        HeaterFraction = 0.375,
        StirrerRevolutionsPerMinute = 104,
        Stirring = true,
        Lit = true,
        AirMetresPerSecond = 0.06,
        AmbientCelsius = 23.5,
        ThermometerMarks = ["outside-calibration"],
    };

    [Fact]
    public void Facts_are_one_of_every_kind()
    {
        var kinds = typeof(RunOutput).GetCustomAttributes(typeof(JsonDerivedTypeAttribute), false).Cast<JsonDerivedTypeAttribute>().Select(kind => kind.DerivedType);
        Assert.Equal(kinds, ArchiveBench.EveryFact.Select(fact => fact.GetType()));
    }

    [Fact]
    public void Facts_are_sent_as_the_page_expects_them() => AssertSent("service-facts.json", ArchiveBench.EveryFact);

    [Fact]
    public void Overview_of_a_tester_is_sent_as_the_page_expects_it() => AssertSent("service-tester-overview.json", new TesterOverview(
        "bench-1", "Bench 1", "serial /dev/ttyUSB0", ConnectionState.Down, "/dev/ttyUSB0 was unplugged: plug it in again", 3.5,
        new TesterCounters(90_000, 2, 1, 3, 65_536), "line 7, temperature: given \"x\"; allowed: a number such as 21.5",
        [new StandingAlarm("source-down", "No connection to the tester.", ArchiveBench.Start)], Summary, Status, ThermometerOverview.Of(TypeK, new(2026, 11, 25)),
        new DriveOverview(false, null, 0, 0.02, false, 0.42, 280, [new DriveTrip("heater-reading-silent", "No sound thermometer reading for 2.1 s (limit 2.0 s).", ArchiveBench.Start)]), RunMode.Driven,
        [new AmbientOverview("room", "Room 1", "serial /dev/ttyUSB3, 9600 baud", ConnectionState.Down, "/dev/ttyUSB3 was unplugged: plug it in again", new(812, 1, 0, 0, 1024), "/dev/ttyUSB3 line 9, column 1 (pressure): given 12 hPa; allowed: 45 to 110 kPa", 60, new(99.617, 3.2, false), new(23.4, 312, true), null)]));

    [Fact]
    public void State_of_the_configuration_is_sent_as_the_page_expects_it() => AssertSent("service-configuration.json", new ConfigurationOverview(
        "acquire.json", ArchiveBench.Start, 3, 1, 1, 2, 0, ["acquire.json: testers[0].source.baudRate: given 50; allowed: a whole number from 110 to 4000000"], ["Tester bench-1 is changed once its run has ended."]));

    [Fact]
    public void State_of_handing_on_is_sent_as_the_page_expects_it() => AssertSent("service-influx.json", new InfluxStatus(new(
        "https://influx.example:8086/ (org 'lab', bucket 'oils')", InfluxState.Waiting, "nothing listens at https://influx.example:8086/: start the server, or check influx.url", ArchiveBench.Start, 2, 90_000, 421.5, 300,
        ArchiveBench.Start, 12_345, 67, 3, ["influx.tokenFile: influx.token can be read or changed by every user of this computer, and with it the bucket; take that right away (chmod 600 influx.token)."],
        [new StandingAlarm("influx-behind", "InfluxDB is 7 min behind (allowed: 5 min).", ArchiveBench.Start)])));

    [Fact]
    public void Update_of_a_run_is_sent_as_the_page_expects_it() => AssertSent("service-run-update.json", new RunUpdate(
        new CurveStretch(0, [0.1, 0.3], [60.01, null], [0.2, null], [0.9, null], [true, false]) { SecondDetectorLow = [14.1, null], SecondDetectorHigh = [17.9, null] }, 0, ArchiveBench.EveryFact, Status, Summary));

    [Fact]
    public void Detail_of_a_run_is_sent_as_the_page_expects_it() => AssertSent("service-run-detail.json", new RunDetail(
        Summary with { Corrections = 1, ImportedFrom = "0b4c6a0e-6c1f-4a35-9d13-6f0e2d5c7a11" }, ArchiveBench.Plan with { Barometer = new("Room 1", ArchiveBench.Plan.StationPressureKilopascals, 12, null), Thermometer = TypeK, MadeOn = new(2026, 11, 25) }, ArchiveBench.EveryFact, ThermometerWords.Steps(TypeK), RunStatement.Of(ArchiveBench.Result, ArchiveBench.Plan))
    {
        WireBytes = 812_345,
        Audit = new(
            [new(1, ArchiveBench.Start, "R. Halden", CorrectedField.StationPressure, null, "98.7", "Read from the barometer's log.")],
            [new(1, 1, ArchiveBench.Start, "0.1.0", true, ArchiveBench.Result)],
            [new(1, ArchiveBench.Start, "A. Berg", 1)],
            ArchiveBench.Result)
        {
            Holds = [new(1, ArchiveBench.Start, "A. Berg", true, "A complaint is open.")],
            Imports = [new(1, ArchiveBench.Start, "C. Lund", "Second opinion.", "0.1.0", true, new('a', 64), "0b4c6a0e-6c1f-4a35-9d13-6f0e2d5c7a11", 12, "0.1.0", 4711, new('b', 64), new('c', 64))],
        },
    });

    private static readonly ThermometerChain TypeK = new()
    {
        Unit = ThermometerUnit.Microvolt,
        Sensor = new ThermocoupleSensor(ThermocoupleType.K, ReferenceJunctionKind.Measured, null),
        Calibration = new() { Number = "C-114", CalibratedOn = new(2026, 3, 2), DueOn = new(2026, 12, 2), Points = [new(100, 0.1, 0.3), new(300, 0.2, 0.4)] },
        Lag = new(8, false),
        Limits = new() { ColdestCelsius = 5, HottestCelsius = 450 },
    };

    private static void AssertSent<T>(string file, T value)
    {
        var path = Path.Combine(ConfigSamples.RepositoryRoot(), "dashboards", "test", "fixtures", file);
        var sent = JsonSerializer.Serialize(value, Written) + "\n";
        if (Environment.GetEnvironmentVariable("ACQUIRE_WRITE_FIXTURES") == "1")
        {
            File.WriteAllText(path, sent);
        }

        Assert.True(File.Exists(path) && File.ReadAllText(path).ReplaceLineEndings("\n") == sent, $"{file} is not what the service sends now. Write it anew with ACQUIRE_WRITE_FIXTURES=1, then let the page's tests tell what the page does not know yet.");
    }
}
