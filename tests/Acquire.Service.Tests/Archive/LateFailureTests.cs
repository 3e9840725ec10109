using Acquire.Service.Archive.Database;
using Xunit;

namespace Acquire.Service.Tests.Archive;

/// <summary>A commit can be in the file though the disk said that it failed. What is then written again is the same, not a second one.</summary>
public sealed class LateFailureTests : IDisposable
{
    private readonly ArchiveBench _bench = new();

    [Fact(Timeout = 30000)]
    public async Task Begin_and_end_that_are_in_the_file_already_can_be_written_again()
    {
        await _bench.Open().DisposeAsync();
        TestContext.Current.CancellationToken.ThrowIfCancellationRequested();
        using var statements = new ArchiveStatements(ArchiveConnection.OpenWriter(_bench.Path, create: false));
        var header = ArchiveBench.Header("run-1");
        var end = ArchiveBench.Start.AddMinutes(20);

        var number = statements.InsertRun(header, "{}");
        Assert.NotNull(number);
        Assert.Equal(number, statements.InsertRun(header, "{}"));
        Assert.Null(statements.InsertRun(header with { StartedAt = end }, "{}"));
        statements.PutEvent(number.Value, 0, ArchiveBench.EveryFact[0], "{}");
        Assert.Null(statements.InsertRun(header, "{}"));

        Assert.True(statements.CloseRun(number.Value, end, ArchiveBench.Result, "{}"));
        Assert.True(statements.CloseRun(number.Value, end, ArchiveBench.Result, "{}"));
        Assert.False(statements.CloseRun(number.Value, end.AddSeconds(1), ArchiveBench.Result, "{}"));
    }

    public void Dispose() => _bench.Dispose();
}
