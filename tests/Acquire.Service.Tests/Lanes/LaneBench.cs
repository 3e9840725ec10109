using Acquire.Core.Methods;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Service.Archive;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Lanes.Archiving;
using Acquire.Service.Live;
using Acquire.Service.Surroundings;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace Acquire.Service.Tests.Lanes;

/// <summary>One lane that runs on virtual time, with an archive that can be made to fail or hang.</summary>
internal sealed class LaneBench : IAsyncDisposable
{
    private readonly CancellationTokenSource _stopping = new();
    private readonly Task _loop;
    private readonly CancellationToken _cancelled;
    private Func<Task> _before = () => Task.CompletedTask;

    public LaneBench(TesterConfig config, CancellationToken cancelled, Func<TimeProvider, AmbientStations>? room = null, Func<FakeTimeProvider, TimeProvider>? clock = null)
    {
        _cancelled = cancelled;
        Timelines = new(Archive);
        var real = ArchivePort.To(Archive);
        var port = real with
        {
            BeginRun = async (header, token) => { await _before(); await real.BeginRun(header, token); },
            AppendRows = async (id, rows, token) => { await _before(); await real.AppendRows(id, rows, token); },
            AppendEvents = async (id, events, token) => { await _before(); await real.AppendEvents(id, events, token); },
            CloseRun = async (id, at, result, token) => { await _before(); await real.CloseRun(id, at, result, token); },
        };
        Lane = new(config, port, Timelines, clock?.Invoke(Time) ?? Time, "0.0.0", MethodSet.Embedded, NullLogger.Instance, room?.Invoke(Time));
        Lane.Inbox.SetConnection(ConnectionState.Up, null);
        _loop = Task.Run(() => Lane.RunAsync(_stopping.Token), CancellationToken.None);
    }

    public FakeTimeProvider Time { get; } = new(new DateTimeOffset(2026, 11, 25, 20, 15, 3, TimeSpan.Zero));

    public RunArchive Archive { get; } = TestTester.OpenArchive();

    public RunTimelines Timelines { get; }

    public Lane Lane { get; }

    public void BreakArchive(Exception? failure = null) => _before = () => throw failure ?? new IOException("disk full");

    public TaskCompletionSource HangArchive()
    {
        var hanging = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        _before = () => hanging.Task;
        return hanging;
    }

    public void MendArchive() => _before = () => Task.CompletedTask;

    public async Task SendAsync(params IEnumerable<ReadingRow> rows)
    {
        foreach (var row in rows)
        {
            await Lane.Inbox.WriteAsync(row, _cancelled);
        }
    }

    public async Task<RunSummary> StartAsync()
    {
        var answer = await Lane.StartAsync(TestTester.Order, _cancelled);
        Assert.Equal(CommandOutcome.Done, answer.Outcome);
        return answer.Run!;
    }

    public async Task<RunSummary> StopAsync(string runId)
    {
        var answer = await Lane.StopAsync(runId, _cancelled);
        Assert.Equal(CommandOutcome.Done, answer.Outcome);
        return answer.Run!;
    }

    /// <summary>Lets virtual time go on in small steps until something holds; how many steps that takes is not asserted.</summary>
    public async Task UntilAsync(Func<bool> holds)
    {
        while (!holds())
        {
            Time.Advance(TimeSpan.FromMilliseconds(50));
            await Task.Delay(TimeSpan.FromMilliseconds(2), TimeProvider.System, _cancelled);
        }
    }

    /// <summary>Waits in real time only, until something holds.</summary>
    public async Task MeanwhileAsync(Func<bool> holds)
    {
        while (!holds())
        {
            await Task.Delay(TimeSpan.FromMilliseconds(2), TimeProvider.System, _cancelled);
        }
    }

    public bool Stands(string code) => Lane.Overview().Alarms.Any(alarm => alarm.Code == code);

    public RunStatus? Status => Lane.Overview().Status;

    public RunSummary? Run => Lane.Overview().Run;

    public async Task EndAsync()
    {
        await _stopping.CancelAsync();
        await _loop;
    }

    public async ValueTask DisposeAsync()
    {
        await EndAsync();
        _stopping.Dispose();
        await Archive.DisposeAsync();
    }
}
