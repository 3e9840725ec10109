using Acquire.Service.Archive.Bundles;
using Acquire.Service.Archive.Chain;
using Acquire.Service.Archive.Corrections;
using Acquire.Service.Archive.Rows;
using Acquire.Service.CommandLine;
using Acquire.Service.Tests.Archive;
using Acquire.Service.Tests.Archive.Bundles;
using Xunit;

namespace Acquire.Service.Tests.CommandLine;

public sealed class ImportCommandTests : IDisposable
{
    private readonly BundleBench _bench = new();
    private readonly string _between = TestFolders.Make("acquire-between-");

    private string Bundle => Path.Combine(_between, "run.zip");

    public void Dispose()
    {
        _bench.Dispose();
        Directory.Delete(_between, recursive: true);
    }

    [Fact(Timeout = 60000)]
    public async Task A_run_is_looked_at_first_and_then_imported_once()
    {
        await FillAsync(TestContext.Current.CancellationToken);
        Export();

        var dry = Import("--dry-run").Well().Output;
        Assert.False(File.Exists(_bench.There.Path));
        var done = Import().Well().Output;

        Assert.Contains("Judged anew: the same results.", dry, StringComparison.Ordinal);
        Assert.Contains("Nothing was written.", dry, StringComparison.Ordinal);
        Assert.Contains("It is not signed", done, StringComparison.Ordinal);
        AssertFailed(Import(), "is here already");
        AssertFailed(Import("--dry-run"), "is here already");
        BundleBench.AssertSound(_bench.There);
    }

    [Fact(Timeout = 60000)]
    public async Task Another_run_with_its_id_and_one_that_was_corrected_otherwise_are_told_apart_and_nothing_is_overwritten()
    {
        var cancel = TestContext.Current.CancellationToken;
        await FillAsync(TestContext.Current.CancellationToken);
        Export();
        Import().Well();
        await using (var archive = _bench.Here.Open())
        {
            var corrector = new RunCorrector(archive, new(["Ada"], []), TimeProvider.System, "0.1.0");
            await corrector.CorrectAsync(BundleBench.Run, new(CorrectedField.Remark, "foamed", null, "seen", "Ada"), null, cancel);
        }

        Export("--force");
        AssertFailed(Import(), "these are never merged");
        using var third = new ArchiveBench();
        await using (var archive = third.Open())
        {
            await PlayedRun.Of("observed", 1).WriteAsync(archive, BundleBench.Run, cancel);
        }

        AssertFailed(Ran.Command(ArchiveCommand.Build(), "import", Bundle, "--data", third.Folder, "--person", "Cleo", "--reason", "again"), "another run has the id");
        BundleBench.AssertSound(third);
    }

    [Fact(Timeout = 60000)]
    public async Task A_running_service_keeps_the_archive_to_itself()
    {
        await FillAsync(TestContext.Current.CancellationToken);
        Export();
        await using var service = _bench.There.Open();

        AssertNot(Import(), "another instance of this program has it open");
        Assert.Empty(service.ListRuns(null, 10));
    }

    [Fact(Timeout = 60000)]
    public async Task An_archive_whose_service_ended_in_the_middle_of_a_run_is_left_for_the_service()
    {
        var cancel = TestContext.Current.CancellationToken;
        await FillAsync(cancel);
        Export();
        await using (var service = _bench.There.Open())
        {
            await PlayedRun.Small().WriteAsync(service, "open", cancel, close: false);
        }

        AssertNot(Import(), "run open is open in this archive");

        using var stranger = _bench.There.Stranger();
        Assert.Equal(1L, ArchiveBench.Ask(stranger, "SELECT count(*) FROM runs WHERE interrupted_at_utc IS NULL AND closed_at_utc IS NULL"));
    }

    [Fact(Timeout = 60000)]
    public async Task Somebody_must_answer_for_an_import()
    {
        await FillAsync(TestContext.Current.CancellationToken);
        Export();

        var nobody = Ran.Command(ArchiveCommand.Build(), "import", Bundle, "--data", _bench.There.Folder);

        nobody.Refused("--person", "is needed to import");
        nobody.Refused("--reason", "is needed to import");
        Ran.Command(ArchiveCommand.Build(), "import", Bundle, "--data", _bench.There.Folder, "--person", " ", "--reason", "\t").Refused("--reason", "1 to 500");
    }

    [Fact(Timeout = 60000)]
    public async Task Who_signed_it_and_that_it_belongs_under_a_head_is_proved()
    {
        await FillAsync(TestContext.Current.CancellationToken);
        var (key, other, head) = (Path.Combine(_between, "lab.pem"), Path.Combine(_between, "other.pem"), Path.Combine(_between, "head.json"));
        var (publicKey, otherPublic) = (Path.Combine(_between, "lab.public.pem"), Path.Combine(_between, "other.public.pem"));
        Archive("key", "--out", key).Well();
        Archive("key", "--out", other).Well();
        Archive("head", "--data", _bench.Here.Folder, "--out", head, "--sign", key).Well();
        await using (var later = _bench.Here.Open())
        {
            await PlayedRun.Small().WriteAsync(later, "later", TestContext.Current.CancellationToken);
        }

        Export("--witness", "--sign", key);

        AssertNot(Import("--public-key", otherPublic), "is not signed by the key");
        var done = Import("--public-key", publicKey, "--head", head).Well().Output;

        Assert.Contains("Signed by the key ", done, StringComparison.Ordinal);
        Assert.Contains("It belongs under the head that was given", done, StringComparison.Ordinal);
        await using var there = _bench.There.Open();
        var import = Assert.Single(there.FindRun(BundleBench.Run)!.Audit.Imports);
        using var read = System.Security.Cryptography.ECDsa.Create();
        read.ImportFromPem(await File.ReadAllTextAsync(publicKey, TestContext.Current.CancellationToken));
        Assert.Equal(BundleSignature.FingerprintOf(read.ExportSubjectPublicKeyInfo()), import.Signer);
    }

    [Fact(Timeout = 60000)]
    public async Task A_bundle_that_was_made_anew_does_not_belong_under_the_head_and_has_no_signature()
    {
        await FillAsync(TestContext.Current.CancellationToken);
        var (key, head) = (Path.Combine(_between, "lab.pem"), Path.Combine(_between, "head.json"));
        Archive("key", "--out", key).Well();
        Archive("head", "--data", _bench.Here.Folder, "--out", head, "--sign", key).Well();
        Export("--sign", key);
        AssertNot(Import("--head", head), "has no witness");

        // The forger has all of the program: digests, chain, manifest and witness fit.
        var forged = ForgedBundle.WithRecords(await File.ReadAllBytesAsync(Bundle, TestContext.Current.CancellationToken), (kind, values) =>
        {
            if (kind == RecordKind.Header)
            {
                values[2] = "another oil";
            }

            return values;
        });
        await File.WriteAllBytesAsync(Bundle, forged, TestContext.Current.CancellationToken);

        Assert.Contains("Judged anew: the same results.", Import("--dry-run").Well().Output, StringComparison.Ordinal);
        AssertNot(Import("--public-key", Path.Combine(_between, "lab.public.pem")), "is not signed");
        AssertNot(Import("--head", head), "has no witness");
    }

    [Fact(Timeout = 60000)]
    public async Task A_run_that_this_program_judges_otherwise_is_imported_only_when_that_is_said_and_the_record_says_so()
    {
        var cancel = TestContext.Current.CancellationToken;
        await _bench.FillAsync(PlayedRun.Of("observed", 1), cancel);
        var forged = ForgedBundle.WithRecords(BundleBench.Export(_bench.Here), (kind, values) =>
        {
            if (kind == RecordKind.Chunk)
            {
                values[5] = RowChunk.Encode([.. RowChunk.Decode((byte[])values[5]!, out _)!.Select(row => row with { TemperatureCelsius = row.TemperatureCelsius + 3 })]);
            }

            return values;
        });
        await File.WriteAllBytesAsync(Bundle, forged, cancel);

        AssertFailed(Import(), "comes to another result than the record");
        Import("--judged-otherwise").Well();

        await using var there = _bench.There.Open();
        Assert.False(Assert.Single(there.FindRun(BundleBench.Run)!.Audit.Imports).Repeats);
    }

    private static void AssertFailed(Ran ran, string why)
    {
        Assert.Equal(ExitCode.Failed, ran.Code);
        Assert.Contains(why, ran.Error, StringComparison.Ordinal);
    }

    private static void AssertNot(Ran ran, string why)
    {
        Assert.Equal(ExitCode.BadInput, ran.Code);
        Assert.Contains(why, ran.Error, StringComparison.Ordinal);
    }

    private Task FillAsync(CancellationToken cancel) => _bench.FillAsync(PlayedRun.Small(), cancel);

    private static Ran Archive(params string[] arguments) => Ran.Command(ArchiveCommand.Build(), arguments);

    private void Export(params string[] more) => Archive(["export", BundleBench.Run, "--format", "bundle", "--out", Bundle, "--data", _bench.Here.Folder, .. more]).Well();

    private Ran Import(params string[] more) => Archive(["import", Bundle, "--data", _bench.There.Folder, "--person", "Cleo", "--reason", "second opinion", .. more]);
}
