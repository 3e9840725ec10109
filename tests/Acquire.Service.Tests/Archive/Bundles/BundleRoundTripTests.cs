using System.IO.Compression;
using System.Text.Json;
using Acquire.Core.Runs;
using Acquire.Service.Archive.Bundles;
using Acquire.Service.Archive.Chain;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Archive.Bundles;

public sealed class BundleRoundTripTests : IDisposable
{
    private readonly BundleBench _bench = new();

    public void Dispose() => _bench.Dispose();

    public static TheoryData<string> Kinds => [.. PlayedRun.Kinds];

    [Theory(Timeout = 120000)]
    [MemberData(nameof(Kinds))]
    public async Task A_run_of_any_kind_is_in_the_other_archive_as_it_was_here_and_judged_to_the_same_result(string kind)
    {
        var cancel = TestContext.Current.CancellationToken;
        await TravelAsync(PlayedRun.Of(kind, 3), cancel);
    }

    [Fact(Timeout = 300000)]
    public async Task Whatever_the_run_it_travels_unchanged()
    {
        var cancel = TestContext.Current.CancellationToken;
        await Gen.Select(Gen.Int[0, PlayedRun.Kinds.Count - 1], Gen.Int[0, 1_000_000]).SampleAsync(async (kind, number) =>
        {
            using var bench = new BundleBench();
            await TravelAsync(bench, PlayedRun.Of(PlayedRun.Kinds[kind], number), cancel);
        }, iter: 6, threads: 1);
    }

    [Fact(Timeout = 120000)]
    public async Task Corrections_later_results_and_approvals_travel_with_it()
    {
        var cancel = TestContext.Current.CancellationToken;
        await _bench.FillAsync(PlayedRun.Of("observed", 1), cancel, corrected: true);

        var trial = await BundleBench.ImportAsync(_bench.There, BundleBench.Export(_bench.Here), cancel);

        Assert.True(trial.Repeats);
        await using var there = _bench.There.Open();
        await using var here = _bench.Here.Open();
        var (imported, made) = (there.FindRun(BundleBench.Run)!, here.FindRun(BundleBench.Run)!);
        Assert.Equal(JsonSerializer.Serialize(made.Audit with { Imports = [] }), JsonSerializer.Serialize(imported.Audit with { Imports = [] }));
        Assert.Equal(2, imported.Audit.Corrections.Count);
        Assert.Single(imported.Audit.Results);
        Assert.True(imported.Audit.Approved);
        Assert.Equal(2, imported.Summary.Corrections);
        BundleBench.AssertSound(_bench.There);
    }

    [Fact(Timeout = 120000)]
    public async Task An_imported_run_says_where_it_came_from_and_its_origin_can_be_computed_again()
    {
        var cancel = TestContext.Current.CancellationToken;
        await _bench.FillAsync(PlayedRun.Small(), cancel);
        var file = BundleBench.Export(_bench.Here);
        await using (var other = _bench.There.Open())
        {
            // Its number there is another than here.
            await other.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);
            await other.CloseRunAsync("r-1", ArchiveBench.Start, ArchiveBench.Result, cancel);
        }

        await BundleBench.ImportAsync(_bench.There, file, cancel);

        var origin = ArchiveHead.ReadFrom(_bench.Here.Path);
        await using var there = _bench.There.Open();
        var summary = Assert.Single(there.ListRuns(null, 10), run => run.Id == BundleBench.Run);
        Assert.Equal(origin.Archive, summary.ImportedFrom);
        Assert.Null(there.ListRuns(null, 10).Single(run => run.Id == "r-1").ImportedFrom);
        var import = Assert.Single(there.FindRun(BundleBench.Run)!.Audit.Imports);
        Assert.Equal(("Cleo", "second opinion", (bool?)true, 1L), (import.Person, import.Reason, import.Repeats, import.OriginRun));
        Assert.Equal((origin.Link, Convert.ToHexStringLower(origin.Digest.Span)), (import.OriginLink, import.OriginDigest));
        Assert.Equal(Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(file)), import.BundleSha256);

        // What the archive keeps of the origin's chain fits the records with the number that they had there.
        var again = BundleBench.Read(BundleBench.Export(_bench.There));
        using var stranger = _bench.There.Stranger();
        var links = (byte[])ArchiveBench.Ask(stranger, "SELECT links FROM imports")!;
        var records = again.Records.Where(record => record.Kind != RecordKind.Import).ToList();
        Assert.NotNull(LinksFile.TryRead(links, records, import.OriginRun, out var fault));
        Assert.Null(fault);
        Assert.Null(LinksFile.TryRead(links, records, import.OriginRun + 1, out _));
    }

    [Fact(Timeout = 120000)]
    public async Task It_goes_on_to_a_third_archive_and_both_journeys_are_in_its_record()
    {
        var cancel = TestContext.Current.CancellationToken;
        using var third = new ArchiveBench();
        await _bench.FillAsync(PlayedRun.Small(), cancel);
        await BundleBench.ImportAsync(_bench.There, BundleBench.Export(_bench.Here), cancel);

        await BundleBench.ImportAsync(third, BundleBench.Export(_bench.There), cancel);

        await using var archive = third.Open();
        var imports = archive.FindRun(BundleBench.Run)!.Audit.Imports;
        Assert.Equal([ArchiveHead.ReadFrom(_bench.Here.Path).Archive, ArchiveHead.ReadFrom(_bench.There.Path).Archive], imports.Select(import => import.OriginArchive));
        BundleBench.AssertSound(third);
    }

    [Fact(Timeout = 120000)]
    public async Task An_interrupted_run_travels_without_a_result()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using (var archive = _bench.Here.Open())
        {
            await PlayedRun.Small().WriteAsync(archive, BundleBench.Run, cancel, close: false);
        }

        await _bench.Here.Open().DisposeAsync();
        var trial = await BundleBench.ImportAsync(_bench.There, BundleBench.Export(_bench.Here), cancel);

        Assert.Null(trial.Repeats);
        await using var there = _bench.There.Open();
        Assert.True(there.FindRun(BundleBench.Run)!.Summary.Interrupted);
        BundleBench.AssertSound(_bench.There);
    }

    [Fact(Timeout = 120000)]
    public async Task Any_zip_program_opens_a_bundle_and_its_readings_are_judged_to_the_same_result()
    {
        var cancel = TestContext.Current.CancellationToken;
        var run = PlayedRun.Of("observed", 1);
        await _bench.FillAsync(run, cancel);
        await using var zip = new ZipArchive(new MemoryStream(BundleBench.Export(_bench.Here, witness: true)), ZipArchiveMode.Read);

        Assert.Equal(
            [BundleFiles.Manifest, BundleFiles.Records, BundleFiles.Links, BundleFiles.Witness, BundleFiles.Run, BundleFiles.Readings, BundleFiles.Events, BundleFiles.Method, BundleFiles.Thermometer],
            zip.Entries.Select(entry => entry.FullName));
        using var reader = new StreamReader(await zip.GetEntry(BundleFiles.Readings)!.OpenAsync(cancel));
        var trace = Core.Readings.TraceReader.Read("readings.csv", (await reader.ReadToEndAsync(cancel)).ReplaceLineEndings("\n").TrimEnd('\n').Split('\n'));
        Assert.Empty(trace.Errors);
        ArchiveBench.AssertSameBits(run.Rows, trace.Rows);
        Assert.Equal(JsonSerializer.Serialize(run.Result), JsonSerializer.Serialize(RunReplay.Run(run.Plan, trace.Rows)));
    }

    private Task TravelAsync(PlayedRun run, CancellationToken cancel) => TravelAsync(_bench, run, cancel);

    private static async Task TravelAsync(BundleBench bench, PlayedRun run, CancellationToken cancel)
    {
        await bench.FillAsync(run, cancel);
        var file = BundleBench.Export(bench.Here);

        var trial = await BundleBench.ImportAsync(bench.There, file, cancel);

        Assert.True(trial.Repeats, "it was judged to another result");
        Assert.Equal(run.Rows.Count, trial.Rows);
        await using (var there = bench.There.Open())
        {
            ArchiveBench.AssertSameBits(run.Rows, there.ReadRows(BundleBench.Run));
            var detail = there.FindRun(BundleBench.Run)!;
            Assert.Equal(JsonSerializer.Serialize(run.Facts), JsonSerializer.Serialize(detail.Events));
            Assert.Equal(JsonSerializer.Serialize(run.Result), JsonSerializer.Serialize(RunReplay.RunWhole(detail.Plan, there.ReadRows(BundleBench.Run), detail.Events)));
        }

        // Out of there again: the same records byte for byte, and one more that tells of the journey.
        var (before, after) = (BundleBench.Read(file).Records, BundleBench.Read(BundleBench.Export(bench.There)).Records);
        Assert.Equal(before.Select(record => (record.Kind.Word, record.Part, Convert.ToHexString(record.Tail.Span))), after.SkipLast(1).Select(record => (record.Kind.Word, record.Part, Convert.ToHexString(record.Tail.Span))));
        Assert.Equal(RecordKind.Import, after[^1].Kind);
        BundleBench.AssertSound(bench.There);
    }
}
