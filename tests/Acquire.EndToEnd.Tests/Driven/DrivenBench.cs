using System.Net;
using Acquire.Core.Control;
using Acquire.Core.Methods;
using Acquire.EndToEnd.Tests.Rig;
using Acquire.Service.Live;
using Acquire.Simulator;
using Xunit;

namespace Acquire.EndToEnd.Tests.Driven;

/// <summary>A simulated driven tester that lives in the test, so that the test sees what its heater really does.</summary>
internal sealed class DrivenBench : IAsyncDisposable
{
    /// <summary>The tester's id.</summary>
    public const string Id = "bench-4";

    private readonly CancellationTokenSource _stop = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
    private readonly Task _talking;

    private readonly DrivenOptions _options;

    private DrivenBench(DrivenOptions options, double speed, Func<DrivenTalk, CancellationToken, Task> wire)
    {
        _options = options;
        Talk = new(new DrivenTester(options), speed, TimeProvider.System);
        _talking = wire(Talk, _stop.Token);
    }

    /// <summary>A method of the laboratory's own that is done quickly, and that gives a hurried flame room: 10 °C/min, passes of 2 s that may last 5 s.</summary>
    private static MethodDefinition Quick { get; } = Specimens.Method("bench-open-cup") is var usual ? usual with
    {
        Id = "quick-open-cup",
        Title = "Open cup in a hurry (invented for a test)",
        Ramp = usual.Ramp! with { ControlledHeatingCelsiusPerMinute = new(8, 12) },
        Applications = usual.Applications! with { FirstBelowExpectedCelsius = 12, FirstAtLatestBelowExpectedCelsius = 10, IntervalCelsius = 2, PassSeconds = 2, LongestPassSeconds = 5 },
        Judgement = usual.Judgement with { IntervalToleranceCelsius = 1, SettleCelsius = 25 },
    }
    : throw new InvalidOperationException();

    /// <summary>A specimen that flashes soon, at 62 °C, from room temperature.</summary>
    public static DrivenOptions Options { get; } = DrivenOptions.For(new()
    {
        Method = Quick,
        FlashCelsius = 62,
        FireCelsius = 66,
        StartCelsius = 23,
        Seed = 41,
    });

    /// <summary>Starts the service with a configuration and the method.</summary>
    public static Task<RunningService> ServeAsync(TestFolder folder, string config)
    {
        Directory.CreateDirectory(folder["methods"]);
        folder.Write(Path.Combine("methods", Quick.Id + ".json"), MethodFile.ToJson(Quick));
        return RunningService.ServeAsync(folder, ConfigText.WithMethods(config));
    }

    /// <summary>How it is driven: its laboratory has measured its heater.</summary>
    public static DriveSettings Drive { get; } = DrivenRunOptions.For(Options).Settings;

    /// <summary>The tester.</summary>
    public DrivenTalk Talk { get; }

    /// <summary>On a serial line.</summary>
    public static DrivenBench OnPort(string path, double speed, DrivenOptions? options = null) =>
        new(options ?? Options, speed, (talk, cancel) => SerialDrivenTester.OnPort(path, 115_200, TimeProvider.System, Tell).RunAsync(talk, cancel));

    /// <summary>Behind a broker.</summary>
    public static DrivenBench OnBroker(int port, double speed, DrivenOptions? options = null) =>
        new(options ?? Options, speed, (talk, cancel) => new MqttDrivenTester(new() { Tester = Id, Port = port }, TimeProvider.System, Tell).RunAsync(talk, cancel));

    /// <summary>Power that the heater is given now, 0 to 1.</summary>
    public double Heater => Talk.Look(tester => tester.Does.HeaterFraction);

    /// <summary>Starts a run and turns the heater on, as a person would; the run's id.</summary>
    public async Task<string> HeatAsync(ServiceApi api)
    {
        await api.ConnectedAsync(Id);
        await Waiting.ForAsync(() => api.TesterAsync(Id), seen => seen.Counters.Rows > 0, "first readings");
        var run = await api.StartAsync(Id, _options.Run);
        await TurnOnAsync(api, run.Id);
        await Waiting.UntilAsync(() => Heater > 0, "the tester heats");
        return run.Id;
    }

    /// <summary>Turns the heater on, once the tester has acknowledged that it is off.</summary>
    public static Task TurnOnAsync(ServiceApi api, string runId) =>
        Waiting.ForAsync(() => api.HeaterOnAsync(runId), answer => answer.Status == HttpStatusCode.OK, "the heater can be turned on");

    /// <summary>Asserts that the heater goes off within a command's lifetime, the tester being as fast as life, and that it stays off.</summary>
    /// <param name="goneSeconds">By then at the latest no command came any more, s of the tester.</param>
    public async Task AssertCutAsync(double goneSeconds)
    {
        await Waiting.UntilAsync(() => Heater == 0, "the tester cuts its heater");
        var off = Talk.Look(tester => tester.Cup.Truth().HeaterOffSeconds);

        // The tester moves a hundred times a second; what it had heard by then is at most one of its moves late.
        Assert.True(off - goneSeconds <= (Drive.LifetimeMilliseconds / 1000.0) + 0.05, $"the heater went off {off - goneSeconds} s after the last command");
        await Task.Delay(TimeSpan.FromSeconds(1), TimeProvider.System, TestContext.Current.CancellationToken);
        Assert.Equal(off, Talk.Look(tester => tester.Cup.Truth().HeaterOffSeconds));
    }

    /// <summary>Waits until the service says that the heater is off, and why.</summary>
    public static Task<TesterOverview> TrippedAsync(ServiceApi api, params string[] codes) =>
        Waiting.ForAsync(() => api.TesterAsync(Id), seen => seen.Drive is { On: false } drive && drive.Trips.Any(trip => codes.Contains(trip.Code)), $"the trip {string.Join(" or ", codes)}");

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await _talking.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        _stop.Dispose();
    }

    private static void Tell(string text) => TestContext.Current.TestOutputHelper?.WriteLine(text);
}
