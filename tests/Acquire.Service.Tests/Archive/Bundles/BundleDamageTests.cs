using Acquire.Service.Archive.Bundles;
using Acquire.Service.Archive.Chain;
using Acquire.Service.CommandLine;
using Acquire.Service.Tests.CommandLine;
using Xunit;

namespace Acquire.Service.Tests.Archive.Bundles;

/// <summary>A bundle that is damaged anywhere is refused, says why, and changes nothing.</summary>
public sealed class BundleDamageTests : IDisposable
{
    private readonly BundleBench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Fact(Timeout = 120000)]
    public async Task Every_byte_that_is_changed_is_noticed_one_bit_or_all()
    {
        var file = await SmallAsync(TestContext.Current.CancellationToken);
        var missed = new List<string>();
        for (var at = 0; at < file.Length; at++)
        {
            foreach (var bits in (byte[])[(byte)(1 << (at % 8)), 0xFF])
            {
                file[at] ^= bits;
                if (RunBundle.TryRead(file, out var fault) is not null || string.IsNullOrWhiteSpace(fault))
                {
                    missed.Add($"byte {at} with {bits:x2}");
                }

                file[at] ^= bits;
            }
        }

        Assert.Empty(missed);
        Assert.InRange(file.Length, 10_000, 60_000);
        BundleBench.Read(file);
    }

    [Fact(Timeout = 120000)]
    public async Task Every_length_it_is_cut_to_is_noticed()
    {
        var file = await SmallAsync(TestContext.Current.CancellationToken);
        var missed = Enumerable.Range(0, file.Length).Where(length => RunBundle.TryRead(file.AsMemory(0, length), out var fault) is not null || string.IsNullOrWhiteSpace(fault)).ToList();

        Assert.Empty(missed);
    }

    [Fact(Timeout = 120000)]
    public async Task A_byte_put_in_or_taken_out_or_a_stretch_of_zeros_is_noticed()
    {
        var file = await SmallAsync(TestContext.Current.CancellationToken);
        for (var at = 0; at <= file.Length; at += 7)
        {
            Assert.Null(RunBundle.TryRead((byte[])[.. file[..at], 0x50, .. file[at..]], out _));
            Assert.Null(RunBundle.TryRead((byte[])[.. file[..at], .. file[Math.Min(at + 1, file.Length)..], .. at == file.Length ? [(byte)0] : Array.Empty<byte>()], out _));
            var zeros = (byte[])file.Clone();
            zeros.AsSpan(at, Math.Min(16, file.Length - at)).Clear();
            Assert.True(zeros.AsSpan().SequenceEqual(file) || RunBundle.TryRead(zeros, out _) is null);
        }
    }

    [Fact(Timeout = 120000)]
    public async Task The_command_refuses_damage_clearly_and_the_archive_stays_as_it_is()
    {
        var cancel = TestContext.Current.CancellationToken;
        var file = await SmallAsync(cancel);
        await using (var other = _bench.There.Open())
        {
            await other.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);
            await other.CloseRunAsync("r-1", ArchiveBench.Start, ArchiveBench.Result, cancel);
        }

        var (before, path) = (await File.ReadAllBytesAsync(_bench.There.Path, cancel), Path.Combine(_bench.Here.Folder, "damaged.zip"));
        for (var at = 3; at < file.Length; at += file.Length / 40)
        {
            file[at] ^= 0x10;
            await File.WriteAllBytesAsync(path, file, cancel);
            file[at] ^= 0x10;

            Import(path).Refused(path, "Nothing was imported");
        }

        foreach (var length in (int[])[0, 1, 30, file.Length / 2, file.Length - 1])
        {
            await File.WriteAllBytesAsync(path, file[..length], cancel);
            Import(path).Refused(path, "Nothing was imported");
        }

        Import(path + ".none").Refused(path + ".none", "cannot be read");
        Assert.Equal(before, await File.ReadAllBytesAsync(_bench.There.Path, cancel));
        Assert.Empty(ArchiveVerifier.Verify(_bench.There.Path).Faults);
        await File.WriteAllBytesAsync(path, file, cancel);
        Import(path).Well();
    }

    private Ran Import(string path) => Ran.Command(ArchiveCommand.Build(), "import", path, "--data", _bench.There.Folder, "--person", "Cleo", "--reason", "second opinion");

    // Everything that a bundle can have, of a run of half a minute.
    private async Task<byte[]> SmallAsync(CancellationToken cancel)
    {
        await _bench.FillAsync(PlayedRun.Small(), cancel, corrected: true);
        using var key = System.Security.Cryptography.ECDsa.Create(System.Security.Cryptography.ECCurve.NamedCurves.nistP256);
        return BundleBench.Export(_bench.Here, witness: true, key: key);
    }
}
