using System.Text.Json.Nodes;
using Acquire.Service.Archive.Bundles;
using Acquire.Service.Archive.Chain;
using Acquire.Service.Archive.Rows;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Archive.Bundles;

/// <summary>A bundle whose digests all fit, and whose content is not what a record can be.</summary>
public sealed class ForgedBundleTests : IDisposable
{
    private readonly BundleBench _bench = new();

    public void Dispose() => _bench.Dispose();

    public static TheoryData<string, string> Forgeries => new()
    {
        { "an id that names a folder", "its records are not those" },
        { "a verdict beside another result", "closing do not say what its content says" },
        { "an event of another kind", "event 0 do not say" },
        { "an event at another time", "event 1 do not say" },
        { "an event that is no JSON", "event 1 cannot be read" },
        { "an event left out", "numbered without a gap" },
        { "a chunk that says more rows", "chunk 0 cannot be read: " },
        { "a chunk of nothing", "chunk 0 cannot be read: " },
        { "a chunk that says a billion rows", "does not say how many readings it has" },
        { "no end", "that was closed or interrupted" },
        { "a plan that is no JSON", "its plan cannot be read" },
        { "a plan of another method", "header do not say" },
        { "a method without an end", "has a method that cannot be" },
        { "a flash point nobody can expect", "expects a flash point that cannot be" },
        { "a specimen that turns the line around", "the specimen of its header has a character" },
        { "a person of spaces", "the person of its approval 1" },
        { "a correction of nothing", "correction 1 cannot be read" },
        { "a result of no correction", "result 1 do not say" },
        { "a beginning that is no time", "its start cannot be read" },
        { "a negative zero", "has a at_seconds that cannot be" },
        { "no number", "has a at_seconds that cannot be" },
        { "a text with a zero in it", "has a kind that cannot be" },
        { "nothing where something must be", "do not fit into an archive" },
    };

    [Theory(Timeout = 60000)]
    [MemberData(nameof(Forgeries))]
    public async Task What_cannot_be_in_a_record_is_refused_by_name(string forgery, string expected)
    {
        await _bench.FillAsync(PlayedRun.Small(), TestContext.Current.CancellationToken, corrected: true);

        var forged = ForgedBundle.WithRecords(BundleBench.Export(_bench.Here), (kind, values) => Forge(forgery, kind, values));

        var bundle = RunBundle.TryRead(forged, out var fault);
        var trial = bundle is null ? null : BundleTrial.Play(bundle, ArchiveBench.Start, out fault);
        Assert.Null(trial);
        Assert.Contains(expected, fault, StringComparison.Ordinal);
    }

    [Fact(Timeout = 60000)]
    public async Task An_interrupted_run_with_a_result_or_an_approval_is_refused()
    {
        await _bench.FillAsync(PlayedRun.Small(), TestContext.Current.CancellationToken, corrected: true);

        var forged = ForgedBundle.WithRecords(
            BundleBench.Export(_bench.Here), (kind, values) => kind == RecordKind.Closing ? [values[0]] : values, kind => kind == RecordKind.Closing ? RecordKind.Interruption : kind);

        Assert.Null(BundleTrial.Play(BundleBench.Read(forged), ArchiveBench.Start, out var fault));
        Assert.Contains("it was interrupted, and has a result or an approval", fault, StringComparison.Ordinal);
    }

    // The second file of what the wire said in run X is X.2.wire: a run of that name would be given what belongs to another.
    [Theory]
    [InlineData("20260302T093015Z-bench-1-0a1b", true)]
    [InlineData("20260302T093015Z-bench-1-0a1b.2", false)]
    [InlineData("..", false)]
    [InlineData("a/b", false)]
    public void An_id_is_a_name_without_folder_and_dot(string id, bool can) => Assert.Equal(can, BundleRules.WhyNoRunId(id) is null);

    [Fact]
    public void What_could_not_be_taken_in_for_its_size_is_not_made()
    {
        var half = BundleEntry.Stored(BundleFiles.Run, []) with { Length = (int)(BundleFiles.MostUnpackedBytes / 2) };

        Assert.Null(BundleFiles.WhyTooLarge([half, half]));
        Assert.Contains("have 1073741825 bytes together", BundleFiles.WhyTooLarge([half, half, BundleEntry.Stored(BundleFiles.Events, [1])]), StringComparison.Ordinal);
    }

    [Fact(Timeout = 60000)]
    public async Task A_run_from_a_wire_with_many_words_travels()
    {
        var cancel = TestContext.Current.CancellationToken;
        var source = "mqtt " + string.Join(", ", Enumerable.Range(0, 8).Select(topic => $"laboratory/{topic}/{new string('x', 1000)}"));
        await using (var archive = _bench.Here.Open())
        {
            await archive.BeginRunAsync(ArchiveBench.Header(BundleBench.Run) with { Source = source }, cancel);
            await archive.CloseRunAsync(BundleBench.Run, ArchiveBench.Start, ArchiveBench.Result, cancel);
        }

        var trial = BundleTrial.Play(BundleBench.Read(BundleBench.Export(_bench.Here)), ArchiveBench.Start, out var fault);

        Assert.Null(fault);
        Assert.Equal(BundleBench.Run, trial!.Run.Summary.Id);
    }

    [Fact(Timeout = 60000)]
    public async Task Readings_that_were_changed_with_all_digests_are_judged_to_another_result()
    {
        var cancel = TestContext.Current.CancellationToken;
        await _bench.FillAsync(PlayedRun.Of("observed", 1), cancel);
        var forged = ForgedBundle.WithRecords(BundleBench.Export(_bench.Here), (kind, values) =>
        {
            if (kind == RecordKind.Chunk)
            {
                var rows = RowChunk.Decode((byte[])values[5]!, out _)!;
                values[5] = RowChunk.Encode([.. rows.Select(row => row with { TemperatureCelsius = row.TemperatureCelsius + 3 })]);
            }

            return values;
        });

        var trial = BundleTrial.Play(BundleBench.Read(forged), ArchiveBench.Start, out var fault);

        Assert.Null(fault);
        Assert.False(trial!.Repeats);
        Assert.NotNull(trial.Judged);
    }

    [Fact(Timeout = 60000)]
    public async Task A_file_that_unpacks_to_more_than_it_says_is_refused_unread()
    {
        await _bench.FillAsync(PlayedRun.Small(), TestContext.Current.CancellationToken);
        var file = BundleBench.Export(_bench.Here);
        var entries = BundleZip.TryRead(file, BundleFiles.All, out _)!;
        var bomb = BundleEntry.Packing(BundleFiles.Run, new byte[50_000_000]) with { Length = 1000 };
        var manifest = BundleBench.Read(file).Manifest;
        var digest = Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(bomb.Packed.Span));
        manifest = manifest with { Files = [.. manifest.Files.Select(one => one.Name == BundleFiles.Run ? new(one.Name, 1000, digest, bomb.Packed.Length, digest) : one)] };
        var before = GC.GetAllocatedBytesForCurrentThread();

        Assert.Null(RunBundle.TryRead(BundleZip.Write([BundleEntry.Stored(BundleFiles.Manifest, manifest.Write()), .. entries.Skip(1).Select(entry => entry.Name == BundleFiles.Run ? bomb : entry)]), out var fault));

        Assert.Contains("does not unpack to the 1000 bytes", fault, StringComparison.Ordinal);
        Assert.InRange(GC.GetAllocatedBytesForCurrentThread() - before, 0, 5_000_000);
    }

    [Theory(Timeout = 60000)]
    [InlineData("acquire-run-bundle-2", "made by a newer program")]
    [InlineData("something", "allowed: acquire-run-bundle-1")]
    public async Task A_bundle_of_another_format_is_refused_by_name(string format, string expected)
    {
        await _bench.FillAsync(PlayedRun.Small(), TestContext.Current.CancellationToken);

        Assert.Null(RunBundle.TryRead(ForgedBundle.WithFiles(BundleBench.Export(_bench.Here), manifest => manifest with { Format = format }, []), out var fault));

        Assert.Contains(expected, fault, StringComparison.Ordinal);
    }

    [Fact(Timeout = 60000)]
    public async Task A_bundle_of_a_newer_archive_is_refused_by_name()
    {
        await _bench.FillAsync(PlayedRun.Small(), TestContext.Current.CancellationToken);

        Assert.Null(RunBundle.TryRead(ForgedBundle.WithFiles(BundleBench.Export(_bench.Here), manifest => manifest with { ContentVersion = 99 }, []), out var fault));

        Assert.Contains("Install the newer program", fault, StringComparison.Ordinal);
    }

    [Fact(Timeout = 300000)]
    public async Task Whatever_stands_in_the_place_of_a_value_of_plan_or_facts_the_run_is_judged_or_refused_in_words()
    {
        await _bench.FillAsync(PlayedRun.Small(), TestContext.Current.CancellationToken);
        var file = BundleBench.Export(_bench.Here);
        string?[] others = ["null", "-1", "1e300", "\"x\"", "[]", "{}", "[null]", null];
        var (judged, refused) = (0, 0);

        Gen.Select(Gen.Bool, Gen.Int[0, 1_000_000], Gen.Int[0, others.Length - 1]).Sample(
            (plan, place, other) =>
            {
                var forged = ForgedBundle.WithRecords(file, (kind, values) => (plan, kind.Word) switch
                {
                    (true, "header") => [.. values[..8], Exchanged((string)values[8]!, place, others[other]), .. values[9..]],
                    (false, "event") when Is(values, place % 3) => [.. values[..3], Exchanged((string)values[3]!, place, others[other])],
                    _ => values,
                });
                var trial = BundleTrial.Play(BundleBench.Read(forged), ArchiveBench.Start, out var fault);
                (judged, refused) = (judged + (trial is null ? 0 : 1), refused + (trial is null ? 1 : 0));
                Assert.True((trial is null) != (fault is null));
            },
            iter: 150,
            threads: 1);
        Assert.True(judged > 0 && refused > 0, $"{judged} judged, {refused} refused");
    }

    // The text with another value in the place of one of its own; without it where there is no other.
    private static string Exchanged(string json, int place, string? other)
    {
        var root = JsonNode.Parse(json)!;
        var all = new List<JsonNode>();
        void Add(JsonNode? node)
        {
            if (node is JsonObject parent)
            {
                parent.Where(pair => pair.Value is not null).ToList().ForEach(pair => { all.Add(pair.Value!); Add(pair.Value); });
            }
            else if (node is JsonArray list)
            {
                list.Where(one => one is not null).ToList().ForEach(one => { all.Add(one!); Add(one); });
            }
        }

        Add(root);
        var chosen = all[place % all.Count];
        if (chosen.Parent is JsonObject owner)
        {
            var name = owner.Single(pair => ReferenceEquals(pair.Value, chosen)).Key;
            _ = owner.Remove(name);
            if (other is not null)
            {
                owner[name] = JsonNode.Parse(other);
            }
        }
        else if (chosen.Parent is JsonArray list)
        {
            list[list.IndexOf(chosen)] = JsonNode.Parse(other ?? "null");
        }

        return root.ToJsonString();
    }

    private static object?[]? Forge(string forgery, RecordKind kind, object?[] values)
    {
        var (column, value) = (forgery, kind.Word) switch
        {
            ("an id that names a folder", "header") => ("id", (object?)"../outside"),
            ("a verdict beside another result", "closing") => ("verdict", "valid"),
            ("an event of another kind", "event") when Is(values, 0) => ("kind", "fire-detected"),
            ("an event at another time", "event") when Is(values, 1) => ("at_seconds", (double)values[1]! + 0.1),
            ("an event that is no JSON", "event") when Is(values, 1) => ("body", "{"),
            ("a chunk that says more rows", "chunk") => ("row_count", (long)values[2]! + 1),
            ("a chunk of nothing", "chunk") => ("body", Array.Empty<byte>()),
            ("a chunk that says a billion rows", "chunk") => ("row_count", 1_000_000_000L),
            ("a plan that is no JSON", "header") => ("plan", "[]"),
            ("a plan of another method", "header") => ("method_id", "iso-2592-2017"),
            ("a method without an end", "header") => ("plan", ((string)values[8]!).Replace("\"sustainedSeconds\":5", "\"sustainedSeconds\":0", StringComparison.Ordinal)),
            ("a flash point nobody can expect", "header") => ("plan", ((string)values[8]!).Replace("\"expectedFlashCelsius\":221", "\"expectedFlashCelsius\":2210", StringComparison.Ordinal)),
            ("a specimen that turns the line around", "header") => ("specimen", "oil \u202e lio"),
            ("a person of spaces", "approval") => ("person", "  "),
            ("a correction of nothing", "correction") when Is(values, 1) => ("field", "verdict"),
            ("a result of no correction", "result") => ("correction", 7L),
            ("a beginning that is no time", "header") => ("started_at_utc", "yesterday"),
            ("a negative zero", "event") when Is(values, 0) => ("at_seconds", -0.0),
            ("no number", "event") when Is(values, 0) => ("at_seconds", double.NaN),
            ("a text with a zero in it", "event") when Is(values, 0) => ("kind", "phase\0changed"),
            ("nothing where something must be", "event") when Is(values, 0) => ("body", null),
            _ => ("", null),
        };
        if ((forgery, kind.Word) is ("an event left out", "event") && Is(values, 1) || (forgery, kind.Word) is ("no end", "closing"))
        {
            return null;
        }

        var at = kind.Columns.ToList().IndexOf(column);
        if (at > 0)
        {
            values[at - 1] = value;
        }

        return values;
    }

    private static bool Is(object?[] values, long part) => values[0] is long number && number == part;
}
