using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Core.Thermometry;
using Acquire.Service.Configuration;
using Acquire.Service.Live;
using Acquire.Service.Tests.Lanes;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Service.Tests.Live;

public sealed class ThermometerApiTests
{
    private static readonly ThermometerChain TypeK = new()
    {
        Unit = ThermometerUnit.Microvolt,
        Sensor = new ThermocoupleSensor(ThermocoupleType.K, ReferenceJunctionKind.Measured, null),
        Calibration = new() { Number = "C-7", CalibratedOn = new(2020, 1, 1), DueOn = new(2090, 1, 1), Points = [new(20, -0.1, 0.3), new(300, -0.6, 0.4)] },
        Lag = new(6, false),
    };

    [Fact(Timeout = 60000)]
    public async Task What_a_live_run_made_of_microvolts_can_be_made_again_from_its_two_files()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, thermometer: TypeK);
        var run = await bench.StartRunAsync();
        var rows = Simulated().ToArray();
        await bench.SendAsync(rows);
        await bench.UntilRowsAsync(run.Id, rows.Length);
        var live = (await bench.StopRunAsync(run.Id)).Result!;

        var detail = await bench.GetAsync<RunDetail>($"/api/runs/{run.Id}");
        var document = await bench.Client.GetStringAsync($"/api/runs/{run.Id}/thermometer.json", TestContext.Current.CancellationToken);
        var csv = await bench.Client.GetStringAsync($"/api/runs/{run.Id}/readings.csv", TestContext.Current.CancellationToken);

        Assert.StartsWith("time_s,temperature_c,detector,flame,thermometer_uv,junction_c", csv, StringComparison.Ordinal);
        Assert.True(ThermometerChainFile.TryParse(document, out var chain, out var errors), string.Join("; ", errors));
        Assert.Equal(document, ThermometerChainFile.Write(chain));
        Assert.Equal(ThermometerWords.Steps(TypeK), detail.ThermometerSteps);
        Assert.Contains(detail.ThermometerSteps, step => step.Contains("C-7", StringComparison.Ordinal));

        var trace = TraceReader.Read("readings.csv", csv.Split("\r\n"));
        Assert.Empty(trace.Errors);
        var again = RunReplay.Run(detail.Plan with { Thermometer = chain }, trace.Rows);
        var asRead = RunReplay.RunAsRead(detail.Plan, trace.Rows);
        Assert.Equal(live.Findings, again.Findings);
        Assert.Equal(live.Flash, again.Flash);
        Assert.Equal(live.Findings, asRead.Findings);
        Assert.Equal(live.Flash, asRead.Flash);
        Assert.NotNull(live.Flash);
    }

    [Fact(Timeout = 30000)]
    public async Task The_tester_shows_signal_junction_faults_and_certificate_between_runs_too()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, thermometer: TypeK);
        await bench.SendAsync([Signal(0, 1000), Signal(0.1, 1001)]);

        var sound = await UntilAsync(bench, tester => tester.Status?.TemperatureCelsius is not null);
        Assert.Equal((1001.0, 24.5, "µV", CalibrationStanding.Valid), (sound.Status!.ThermometerSignal, sound.Status.JunctionCelsius, sound.Thermometer.SignalUnit, sound.Thermometer.Calibration));
        Assert.Empty(sound.Status.ThermometerMarks);

        await bench.SendAsync([Signal(0.2, 80_000)]);

        // Alarms and status are two looks at the lane: one may be a moment older.
        var open = await UntilAsync(bench, tester => tester.Alarms.Count > 0 && tester.Status?.ThermometerMarks.Count > 0);
        Assert.Equal("thermometer-open-circuit", Assert.Single(open.Alarms).Code);
        Assert.Equal(["open-circuit"], open.Status!.ThermometerMarks);
    }

    private static async Task<TesterOverview> UntilAsync(AppBench bench, Func<TesterOverview, bool> holds)
    {
        for (;;)
        {
            var tester = (await bench.GetAsync<TesterOverview[]>("/api/testers"))[0];
            if (holds(tester))
            {
                return tester;
            }

            await Task.Delay(TimeSpan.FromMilliseconds(10), TimeProvider.System, TestContext.Current.CancellationToken);
        }
    }

    private static ReadingRow Signal(double at, double microvolts) =>
        new(at, RowChannels.Signal | RowChannels.Junction | RowChannels.Detector, 0, 0.1, false) { Signal = microvolts, JunctionCelsius = 24.5 };

    private static SimulatedRun Simulated()
    {
        Assert.True(Core.Methods.MethodCatalog.TryFind("iso-2592-2017", out var method));
        var options = new SimulatorOptions { Method = method, FlashCelsius = 221, ExpectedFlashCelsius = TestTester.ExpectedFlashCelsius, RowsPerSecond = 10, CoolingSeconds = 10, Seed = 5 };
        return new SimulatedRun(options with { Thermometer = options.Thermometer with { Chain = TypeK } });
    }
}
