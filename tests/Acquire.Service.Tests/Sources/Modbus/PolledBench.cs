using Acquire.Core.Readings;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Live;
using Acquire.Service.Sources;
using Microsoft.Extensions.Logging.Abstractions;
using Xunit;

namespace Acquire.Service.Tests.Sources.Modbus;

/// <summary>Modbus testers that are polled by the service's own host, on the real clock.</summary>
internal sealed class PolledBench : IAsyncDisposable
{
    /// <summary>How soon readings must come after the end of a trouble, s; the limit that docs/devices.md states.</summary>
    public const double PromptSeconds = 2;

    private readonly SourceHost _host;
    private readonly Dictionary<string, LaneInbox> _inboxes;

    private PolledBench(AcquireConfig config)
    {
        _inboxes = config.Testers.ToDictionary(tester => tester.Id, tester => new LaneInbox(tester.Id, tester.QueueCapacity, TimeProvider.System));
        _host = new(config, _inboxes, TimeProvider.System, NullLoggerFactory.Instance);
    }

    /// <summary>The inbox of the only tester, or of the one with the id a.</summary>
    public LaneInbox Inbox => _inboxes["a"];

    /// <summary>The inbox of a tester.</summary>
    public LaneInbox this[string id] => _inboxes[id];

    /// <summary>Polls one tester, whose source is given as text.</summary>
    public static Task<PolledBench> StartAsync(string source) => StartConfigAsync(ModbusSamples.File(source));

    /// <summary>Polls the testers of a file.</summary>
    public static async Task<PolledBench> StartConfigAsync(string config)
    {
        var bench = new PolledBench(SourceSamples.Config(config));
        await bench._host.StartAsync(TestContext.Current.CancellationToken);
        return bench;
    }

    /// <summary>Waits until something holds for the tester a.</summary>
    public Task UntilAsync(Func<LaneInbox, bool> holds, string what) => SourceSamples.Until(() => holds(Inbox), what, TestContext.Current.CancellationToken);

    /// <summary>Waits until readings come.</summary>
    public Task ReadAsync() => UntilAsync(inbox => inbox is { Counters.Rows: > 0, Connection.State: ConnectionState.Up }, "the first reading");

    /// <summary>Waits for the next reading after the end of a trouble; how long that took, s.</summary>
    public async Task<double> BackAsync()
    {
        var (start, rows) = (TimeProvider.System.GetTimestamp(), Inbox.Counters.Rows);
        await UntilAsync(inbox => inbox.Counters.Rows > rows, "the reading after the trouble");
        var took = TimeProvider.System.GetElapsedTime(start).TotalSeconds;
        await UntilAsync(inbox => inbox.Connection.State == ConnectionState.Up, "the connection after the trouble");
        TestContext.Current.TestOutputHelper?.WriteLine(FormattableString.Invariant($"back after {took:0.00} s, {Inbox.Counters.Missed} polls missed"));
        return took;
    }

    /// <summary>Every reading so far; their times only go forward.</summary>
    public List<ReadingRow> Drain()
    {
        var rows = SourceSamples.Drain(Inbox);
        Assert.Equal(rows.Select(row => row.AtSeconds).Order(), rows.Select(row => row.AtSeconds));
        return rows;
    }

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        await _host.StopAsync(CancellationToken.None);
        _host.Dispose();
    }
}
