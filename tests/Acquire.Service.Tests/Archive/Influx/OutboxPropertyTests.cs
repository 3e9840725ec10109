using Acquire.Service.Archive.Influx;
using Acquire.Service.Archive.Influx.Lines;
using CsCheck;
using Microsoft.AspNetCore.Http;
using Xunit;

namespace Acquire.Service.Tests.Archive.Influx;

public sealed class OutboxPropertyTests
{
    private const int Rows = 120;

    private enum Fault
    {
        None,
        Busy,
        Unwell,
        Late,
        CutAfterKeeping,
        CutBeforeKeeping,
        HalfKept,
        TooLarge,
        NoToken,
        WebPage,
        Ends,
        EndsAndForgets,
        GoesBack,
    }

    private static CancellationToken Cancelled => TestContext.Current.CancellationToken;

    /// <summary>In the end the server has the archive's points, each once, and the bad lines are set aside, each once.</summary>
    [Fact(Timeout = 600000)]
    public async Task Whatever_happens_in_between_the_server_has_the_archive_in_the_end_and_each_bad_line_is_set_aside_once()
    {
        Assert.False(TestContext.Current.CancellationToken.IsCancellationRequested);
        await Gen.Select(Gen.Int[0, (int)Fault.GoesBack].Array[0, 25], Gen.Int[0, Rows - 1].Array[0, 6], Gen.Int[1, 90], Gen.Bool, Gen.Bool)
            .SampleAsync(async (faults, bad, batchLines, keepsRest, unprocessable) => await PlayAsync([.. faults.Select(fault => (Fault)fault)], [.. bad], batchLines, keepsRest, unprocessable ? 422 : 400), iter: 30, threads: 1);
    }

    private static async Task PlayAsync(Fault[] faults, HashSet<int> bad, int batchLines, bool keepsRest, int status)
    {
        await using var stub = await StubServer.StartAsync(Cancelled);
        using var bench = new OutboxBench(stub.Url);
        bench.Influx = bench.Influx with { BatchLines = batchLines };
        await using var archive = bench.Open(new() { ChunkRows = 32 });
        await OutboxBench.WriteRunAsync(archive, "a", ArchiveBench.PlausibleRun(Rows));
        await OutboxBench.WriteRunAsync(archive, "b", ArchiveBench.PlausibleRun(Rows), close: false, start: ArchiveBench.Start.AddSeconds(1));
        stub.Always = stub.RefuseLines(point => point.Measurement == "reading" && point.Tag("run") == "a" && bad.Contains((int)(point.Nanoseconds % PointTime.Numbers)), status, keepsRest);
        await PlayAsync(faults, stub, bench);

        AssertAll(stub, bench, bad);
    }

    private static async Task PlayAsync(Fault[] faults, StubServer stub, OutboxBench bench)
    {
        var (outbox, older) = (bench.Start(), (byte[]?)null);
        try
        {
            foreach (var fault in faults)
            {
                if (fault >= Fault.Ends)
                {
                    outbox.Dispose();
                    older = Change(bench.StatePath, fault, older);
                    outbox = bench.Start();
                }
                else if (fault != Fault.None)
                {
                    stub.Then(Played(stub, fault));
                }

                await outbox.TurnAsync(Cancelled);
            }

            await OutboxBench.DrainAsync(outbox);
        }
        finally
        {
            outbox.Dispose();
        }
    }

    private static void AssertAll(StubServer stub, OutboxBench bench, HashSet<int> bad)
    {
        Assert.Equal(Rows - bad.Count, Count(stub, "a"));
        Assert.Equal(Rows, Count(stub, "b"));
        Assert.Equal(2 * ArchiveBench.EveryFact.Count, stub.Points.Keys.Count(key => key.Series.StartsWith("event,", StringComparison.Ordinal)));
        Assert.Equal(1, stub.Points.Keys.Count(key => key.Series.StartsWith("result,", StringComparison.Ordinal)));
        Assert.Equal(0, stub.Changes);
        using var store = bench.Store();
        Assert.Equal(bad.Order(), store.SetAsides(1000).SelectMany(stretch => Enumerable.Range((int)stretch.First, (int)stretch.Count)));
        Assert.Equal((InfluxState.Current, bad.Count), (bench.Board.Overview().State, bench.Board.Overview().SetAside));
    }

    private static int Count(StubServer stub, string run) => stub.Points.Values.Count(point => point.Measurement == "reading" && point.Tag("run") == run);

    private static byte[]? Change(string state, Fault fault, byte[]? older)
    {
        if (fault == Fault.EndsAndForgets)
        {
            File.Delete(state);
        }
        else if (fault == Fault.GoesBack && older is not null)
        {
            File.WriteAllBytes(state, older);
        }

        return File.Exists(state) ? File.ReadAllBytes(state) : older;
    }

    private static StubAnswer Played(StubServer stub, Fault fault) => fault switch
    {
        Fault.Busy => StubServer.Say(429, retryAfter: "3"),
        Fault.Unwell => StubServer.Say(503),
        Fault.Late => StubServer.Say(500),
        Fault.TooLarge => (context, lines) => lines.Length > 1 ? StubServer.Say(413)(context, lines) : stub.Always(context, lines),
        Fault.NoToken => StubServer.Say(401),
        Fault.WebPage => StubServer.Say(200, "<html>", type: "text/html"),
        Fault.CutBeforeKeeping => (context, _) => Cut(context),
        _ => async (context, lines) =>
        {
            // What it keeps it keeps by its own rules; then the answer is lost.
            await stub.Always(Unheard(), fault == Fault.HalfKept ? lines[..(lines.Length / 2)] : lines);
            await Cut(context);
        },
    };

    private static DefaultHttpContext Unheard() => new DefaultHttpContext();

    private static Task Cut(HttpContext context)
    {
        context.Abort();
        return Task.CompletedTask;
    }
}
