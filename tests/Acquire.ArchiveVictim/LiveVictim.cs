using System.Globalization;
using System.IO.Ports;
using Acquire.Core.Methods;
using Acquire.Core.Runs;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Chain;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Lanes.Archiving;
using Acquire.Service.Lanes.Resuming;
using Acquire.Service.Live;
using Microsoft.Extensions.Logging.Abstractions;

namespace Acquire.ArchiveVictim;

/// <summary>Several testers whose runs are started, observed and stopped at random, until the process is killed. What was acknowledged is said on standard output; the next one goes on with what is open.</summary>
internal sealed class LiveVictim
{
    private static readonly TimeSpan Pause = TimeSpan.FromMilliseconds(5);

    private readonly RunArchive _archive;
    private readonly RunTimelines _timelines;
    private readonly Lane[] _lanes;
    private readonly DateTimeOffset _epoch;
    private readonly TimeProvider _time;
    private readonly string _path;
    private readonly Lock _saying = new();

    private LiveVictim(string path, DateTimeOffset epoch, int testers, TimeProvider time)
    {
        (_path, _epoch, _time) = (path, epoch, time);
        _archive = RunArchive.Open(path, time, NullLogger<RunArchive>.Instance, new ArchiveOptions { ChunkRows = 64, CommitInterval = TimeSpan.FromMilliseconds(20), KeepsOpenRuns = true });
        _timelines = new(_archive);
        _lanes = [.. Enumerable.Range(0, testers).Select(tester => new Lane(Config(tester), ArchivePort.To(_archive), _timelines, time, "test", MethodSet.Embedded, NullLogger.Instance))];
    }

    /// <summary>Runs until it is killed.</summary>
    /// <param name="path">The database file.</param>
    /// <param name="epoch">When the clocks of the testers began.</param>
    /// <param name="testers">How many there are.</param>
    /// <param name="time">Clock.</param>
    public static async Task RunAsync(string path, DateTimeOffset epoch, int testers, TimeProvider time)
    {
        var victim = new LiveVictim(path, epoch, testers, time);
        await new RunResumption(victim._archive, new(victim._lanes), ResumeRules.Usual, MethodSet.Embedded, time, "test", NullLogger<RunResumption>.Instance).StartAsync(CancellationToken.None);
        var loops = victim._lanes.Index().SelectMany(lane => (Task[])[lane.Item.RunAsync(CancellationToken.None), victim.SpeakAsync(lane.Index), victim.ActAsync(lane.Index)]);
        await await Task.WhenAny([.. loops, victim.TellAsync(), victim.HandOutAsync()]);
    }

    private static TesterConfig Config(int tester) => new()
    {
        Id = $"bench-{tester}",
        Name = $"Bench {tester}",
        QueueCapacity = 4096,
        StaleAfterSeconds = 3,
        Mode = tester % 2 == 0 ? RunMode.Guided : RunMode.Observed,
        Source = new SourceConfig.Serial
        {
            Port = $"/dev/made-up-{tester}",
            BaudRate = 9600,
            DataBits = 8,
            Parity = Parity.None,
            StopBits = StopBits.One,
            Handshake = Handshake.None,
            Separator = ',',
            DecimalSeparator = '.',
            Layout = new LineLayout.Columns([new(ReadingChannel.Time, ReadingUnit.Seconds), new(ReadingChannel.Temperature, ReadingUnit.Celsius), new(ReadingChannel.Detector, ReadingUnit.None)]),
        },
    };

    private async Task SpeakAsync(int tester)
    {
        for (var tick = Now(); ; await Task.Delay(Pause, _time))
        {
            for (var now = Now(); tick < now; tick++)
            {
                await _lanes[tester].Inbox.WriteAsync(LiveRows.At(tester, tick), CancellationToken.None);
            }
        }
    }

    private long Now() => (long)((_time.GetUtcNow() - _epoch).TotalSeconds * LiveRows.PerSecond);

    // A person who does something a few times a second.
    private async Task ActAsync(int tester)
    {
        var (lane, random) = (_lanes[tester], new Random(HashCode.Combine(tester, _time.GetUtcNow().Ticks)));
        while (true)
        {
            await Task.Delay(TimeSpan.FromMilliseconds(random.Next(20, 200)), _time);
            if (lane.Overview().Run is not { ClosedAt: null, Interrupted: false } run)
            {
                await StartAsync(lane);
            }
            else if (random.Next(6) == 0)
            {
                Say((await lane.StopAsync(run.Id, CancellationToken.None)) is { Outcome: CommandOutcome.Done }, $"closed {run.Id}");
            }
            else if (tester % 2 == 0)
            {
                Say((await lane.ObserveAsync(run.Id, Sighting.Nothing, "R. Halden", CancellationToken.None)) is { Outcome: CommandOutcome.Done }, $"seen {run.Id}");
            }
        }
    }

    private async Task StartAsync(Lane lane)
    {
        var method = MethodCatalog.All.Single(known => known.Id == "astm-d92-18");
        var answer = await lane.StartAsync(new("victim oil", new() { Method = method, ExpectedFlashCelsius = 200, HasFlameSignal = false }), CancellationToken.None);
        Say(answer.Outcome == CommandOutcome.Done, $"begun {answer.Run?.Id}");
    }

    private async Task TellAsync()
    {
        for (; ; await Task.Delay(Pause, _time))
        {
            foreach (var run in _lanes.Select(lane => lane.Overview().Run).OfType<RunSummary>())
            {
                Say(true, string.Create(CultureInfo.InvariantCulture, $"rows {run.Id} {run.ArchivedRows}"));
                Say(_timelines.Find(run.Id) is { EventCount: > 0 }, string.Create(CultureInfo.InvariantCulture, $"facts {run.Id} {_timelines.Find(run.Id)?.EventCount}"));
            }
        }
    }

    private async Task HandOutAsync()
    {
        for (; ; await Task.Delay(20 * Pause, _time))
        {
            using var connection = ChainFile.Open(_path);
            if (ChainFile.HeadOf(connection) is { } head)
            {
                Say(true, string.Create(CultureInfo.InvariantCulture, $"head {head.Archive} {head.Link} {Convert.ToHexStringLower(head.Digest.Span)}"));
            }
        }
    }

    private void Say(bool acknowledged, string what)
    {
        if (acknowledged)
        {
            lock (_saying)
            {
                Console.WriteLine(what + " .");
                Console.Out.Flush();
            }
        }
    }
}
