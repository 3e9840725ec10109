using Acquire.Core.Methods;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Chain;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Lanes.Archiving;
using Acquire.Service.Lanes.Resuming;
using Acquire.Service.Live;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace Acquire.Service.Tests.Lanes.Resuming;

/// <summary>A service of one tester on virtual time that can end and start again over the same archive.</summary>
internal sealed class ResumeBench : IAsyncDisposable
{
    private string _path = Path.Combine(TestFolders.Make("acquire-resume-"), "runs.db");
    private CancellationTokenSource? _stopping;
    private CancellationToken _cancelled;
    private Task _loop = Task.CompletedTask;

    public FakeTimeProvider Time { get; } = new(new DateTimeOffset(2026, 11, 25, 20, 15, 3, TimeSpan.Zero));

    /// <summary>What wall clock the next start sees beside the time that really passed.</summary>
    public TimeSpan ClockSet { get; set; }

    public RunArchive Archive { get; private set; } = null!;

    public RunTimelines Timelines { get; private set; } = null!;

    public Lane Lane { get; private set; } = null!;

    public RunSummary? Run => Lane.Overview().Run;

    public bool Stands(string code) => Lane.Overview().Alarms.Any(alarm => alarm.Code == code);

    /// <summary>The archive as the service opens it.</summary>
    public RunArchive Open() => RunArchive.Open(_path, Clock, NullLogger<RunArchive>.Instance, new ArchiveOptions { KeepsOpenRuns = true, CommitInterval = TimeSpan.FromMilliseconds(10) });

    public async Task StartAsync(CancellationToken cancelled, TesterConfig? config = null, double withinMinutes = 10, string version = "1.0.0", Action<Lane>? before = null)
    {
        _cancelled = cancelled;
        Archive = Open();
        Timelines = new(Archive);
        Lane = new(config ?? TestTester.Config(), ArchivePort.To(Archive), Timelines, Clock, version, MethodSet.Embedded, NullLogger.Instance);
        Lane.Inbox.SetConnection(ConnectionState.Up, null);
        before?.Invoke(Lane);
        await new RunResumption(Archive, new([Lane]), new(withinMinutes), MethodSet.Embedded, Clock, version, NullLogger<RunResumption>.Instance).StartAsync(_cancelled);
        _stopping = new();
        var (lane, token) = (Lane, _stopping.Token);
        _loop = Task.Run(() => lane.RunAsync(token), CancellationToken.None);
    }

    /// <summary>Ends the service; a run that is open stays open.</summary>
    public async Task EndAsync()
    {
        if (_stopping is not null)
        {
            await _stopping.CancelAsync();
            await _loop;
            _stopping.Dispose();
            _stopping = null;
            await Archive.DisposeAsync();
        }
    }

    public async Task AgainAsync(double secondsAway = 30, TesterConfig? config = null, double withinMinutes = 10, string version = "1.0.1", Action<Lane>? before = null)
    {
        await EndAsync();
        Time.Advance(TimeSpan.FromSeconds(secondsAway));
        await StartAsync(_cancelled, config, withinMinutes, version, before);
    }

    public async Task<string> BeginAsync(RunOrder? order = null)
    {
        var answer = await Lane.StartAsync(order ?? TestTester.Order, _cancelled);
        Assert.Equal(CommandOutcome.Done, answer.Outcome);
        return answer.Run!.Id;
    }

    public async Task StopAsync(string run) => Assert.Equal(CommandOutcome.Done, (await Lane.StopAsync(run, _cancelled)).Outcome);

    public async Task SendAsync(params IEnumerable<ReadingRow> rows)
    {
        foreach (var row in rows)
        {
            await Lane.Inbox.WriteAsync(row, _cancelled);
        }
    }

    /// <summary>What is on the disk now is all that the next start finds: the rest of the service's life leaves no trace.</summary>
    public async Task KillAsync()
    {
        var killed = Path.Combine(TestFolders.Make("acquire-killed-"), "runs.db");
        foreach (var part in (string[])["", "-wal"])
        {
            File.Copy(_path + part, killed + part);
        }

        await EndAsync();
        _path = killed;
    }

    /// <summary>Lets the lane fail, and starts it again as its host does.</summary>
    public async Task FailAsync()
    {
        await _stopping!.CancelAsync();
        await _loop;
        _stopping = new();
        var token = _stopping.Token;
        _loop = Task.Run(() => Lane.RunAsync(token), CancellationToken.None);
    }

    public async Task ArchivedAsync(string run, long rows) => await UntilAsync(() => Archive.ArchivedRows(run) == rows);

    public async Task UntilAsync(Func<bool> holds)
    {
        while (!holds())
        {
            await Task.Delay(TimeSpan.FromMilliseconds(2), TimeProvider.System, _cancelled);
        }
    }

    /// <summary>Lets virtual time go on in small steps until something holds.</summary>
    public async Task LaterAsync(Func<bool> holds, double stepSeconds = 0.25)
    {
        while (!holds())
        {
            Time.Advance(TimeSpan.FromSeconds(stepSeconds));
            await Task.Delay(TimeSpan.FromMilliseconds(2), TimeProvider.System, _cancelled);
        }
    }

    public IReadOnlyList<RunOutput> Facts(string run) => Archive.ReadEvents(run, 0);

    public async Task AssertSoundAsync()
    {
        await EndAsync();
        Assert.Empty(ArchiveVerifier.Verify(_path).Faults);
    }

    /// <summary>Somebody changes the archive while no service runs.</summary>
    public void Tamper(string sql)
    {
        using var stranger = Acquire.Service.Tests.Archive.TamperBench.Stranger(_path);
        Acquire.Service.Tests.Archive.ArchiveBench.Ask(stranger, sql);
    }

    /// <summary>What a verification finds wrong after the service has ended.</summary>
    public async Task<string[]> FaultsAsync()
    {
        await EndAsync();
        return [.. ArchiveVerifier.Verify(_path).Faults.Select(fault => fault.ToString())];
    }

    public async ValueTask DisposeAsync() => await EndAsync();

    private TimeProvider Clock => ClockSet == TimeSpan.Zero ? Time : new WallClock(Time, TimeZoneInfo.Utc) { Off = ClockSet };
}
