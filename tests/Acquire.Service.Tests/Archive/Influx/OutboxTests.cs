using Acquire.Service.Archive.Influx;
using Xunit;

namespace Acquire.Service.Tests.Archive.Influx;

public sealed class OutboxTests
{
    [Fact(Timeout = 30000)]
    public async Task Everything_that_is_archived_arrives_once_and_the_lag_is_gone()
    {
        await using var stub = await StubServer.StartAsync(TestContext.Current.CancellationToken);
        using var bench = new OutboxBench(stub.Url);
        await using var archive = bench.Open();
        await OutboxBench.WriteRunAsync(archive, "r-1", ArchiveBench.PlausibleRun(1234));
        using var outbox = bench.Start();

        await OutboxBench.DrainAsync(outbox);

        Assert.Equal(1234, stub.Points.Values.Count(point => point.Measurement == "reading"));
        Assert.Equal(ArchiveBench.EveryFact.Count, stub.Points.Values.Count(point => point.Measurement == "event"));
        Assert.Equal(1, stub.Points.Values.Count(point => point.Measurement == "result"));
        Assert.Equal(0, stub.Repeats);
        Assert.Equal((1234 + ArchiveBench.EveryFact.Count + 1 + 199) / 200, stub.Requests.Count);
        Assert.All(stub.Requests, request => Assert.Equal("/api/v2/write?org=lab&bucket=oils&precision=ns", request.Address));
        Assert.Equal((InfluxState.Current, 0, 0), (bench.Board.Overview().State, bench.Board.Overview().LagRows, bench.Board.Overview().SetAside));
        Assert.InRange(bench.Board.Overview().LagSeconds, 0, 5);
    }
}
