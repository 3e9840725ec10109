using Acquire.Service.Archive.Exports;
using Acquire.Service.Tests.Archive.Bundles;
using Xunit;

namespace Acquire.Service.Tests.Archive.Exports;

public sealed class RunDocumentTests : IDisposable
{
    private readonly BundleBench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Fact(Timeout = 60000)]
    public async Task A_document_is_written_piece_by_piece_and_not_kept_in_memory_until_its_end()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Here.Open();
        await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);
        await archive.AppendRowsAsync("r-1", ArchiveBench.PlausibleRun(50_000), cancel);
        await archive.CloseRunAsync("r-1", ArchiveBench.Start.AddMinutes(20), ArchiveBench.Result, cancel);
        using var target = new LargestWrite();

        RunDocument.Write(target, archive.FindRun("r-1")!, new("", "0.1.0", "x"), archive.ReadRows("r-1"));

        Assert.True(target.Length > 1_000_000);
        Assert.InRange(target.LargestBytes, 1, 256 * 1024);
    }

    private sealed class LargestWrite : MemoryStream
    {
        public int LargestBytes { get; private set; }

        public override void Write(byte[] buffer, int offset, int count)
        {
            LargestBytes = Math.Max(LargestBytes, count);
            base.Write(buffer, offset, count);
        }

        public override void Write(ReadOnlySpan<byte> buffer)
        {
            LargestBytes = Math.Max(LargestBytes, buffer.Length);
            base.Write(buffer);
        }
    }
}
