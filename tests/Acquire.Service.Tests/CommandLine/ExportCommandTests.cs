using System.Text.Json;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Service.CommandLine;
using Acquire.Service.Tests.Archive;
using Acquire.Service.Tests.Archive.Bundles;
using Xunit;

namespace Acquire.Service.Tests.CommandLine;

public sealed class ExportCommandTests : IDisposable
{
    private readonly BundleBench _bench = new();
    private readonly string _out = TestFolders.Make("acquire-export-");

    public void Dispose()
    {
        _bench.Dispose();
        Directory.Delete(_out, recursive: true);
    }

    [Fact(Timeout = 120000)]
    public async Task Runs_come_out_as_text_that_replay_judges_to_the_same_result_while_the_archive_is_open()
    {
        var cancel = TestContext.Current.CancellationToken;
        await _bench.FillAsync(PlayedRun.Of("guided", 1), cancel, corrected: true, id: "r-1");
        await using var archive = _bench.Here.Open();
        await PlayedRun.Small().WriteAsync(archive, "r-2", cancel, close: false);

        Export("--all", "--format", "csv", "--out", _out).Well();

        var readings = Path.Combine(_out, "readings", "r-1.csv");
        Assert.EndsWith("\r\n", await File.ReadAllTextAsync(readings, cancel), StringComparison.Ordinal);
        var detail = archive.FindRun("r-1")!;
        var replayed = Ran.Command(ReplayCommand.Build(), readings, "--method", detail.Summary.MethodId, "--expected-flash", detail.Plan.ExpectedFlashCelsius!.Value.ToString(System.Globalization.CultureInfo.InvariantCulture), "--pressure-kpa", "97.3", "--guided", "--json").Well();
        var reported = JsonDocument.Parse(replayed.Output).RootElement;
        Assert.Equal(detail.Summary.Result!.Flash!.ReportedCelsius, reported.GetProperty("reported_flash_c").GetDouble());
        var runs = await File.ReadAllLinesAsync(Path.Combine(_out, "runs.csv"), cancel);
        Assert.Equal(3, runs.Length);
        Assert.StartsWith("run,tester,method,specimen,expected_flash_c,", runs[0], StringComparison.Ordinal);
        Assert.Contains(",Bea,\"'=foamed, \"\"a little\"\"\",", runs[1], StringComparison.Ordinal);
        var facts = await File.ReadAllLinesAsync(Path.Combine(_out, "events", "r-1.csv"), cancel);
        Assert.Equal(detail.Events.Count + 1, facts.Length);
        Assert.StartsWith("0,0.1,phase-changed,\"{\"\"kind\"\":\"\"phase-changed\"\"", facts[1], StringComparison.Ordinal);
    }

    [Fact(Timeout = 120000)]
    public async Task A_run_comes_out_as_one_document_with_every_digit()
    {
        var cancel = TestContext.Current.CancellationToken;
        var run = PlayedRun.Of("observed", 2);
        await _bench.FillAsync(run, cancel, corrected: true);

        Export(BundleBench.Run, "--format", "json", "--out", Path.Combine(_out, "run.json")).Well();

        using var document = JsonDocument.Parse(await File.ReadAllBytesAsync(Path.Combine(_out, "run.json"), cancel));
        var root = document.RootElement;
        Assert.Equal("acquire-run-1", root.GetProperty("format").GetString());
        Assert.Equal(run.Facts.Count, root.GetProperty("events").GetArrayLength());
        Assert.Equal((2, 1, 1), (root.GetProperty("corrections").GetArrayLength(), root.GetProperty("results").GetArrayLength(), root.GetProperty("approvals").GetArrayLength()));
        Assert.Equal(["time_s", "temperature_c", "detector", "flame"], root.GetProperty("readings").GetProperty("columns").EnumerateArray().Select(column => column.GetProperty("name").GetString()));
        var rows = root.GetProperty("readings").GetProperty("rows").EnumerateArray().Select(row => new ReadingRow(
            row[0].GetDouble(), RowChannels.Temperature | RowChannels.Detector | RowChannels.Flame, row[1].GetDouble(), row[2].GetDouble(), row[3].GetBoolean())).ToArray();
        ArchiveBench.AssertSameBits(run.Rows, rows);
        var plan = JsonSerializer.Deserialize<RunPlan>(root.GetProperty("plan").GetRawText(), PlanOptions)!;
        Assert.Equal(JsonSerializer.Serialize(run.Result), JsonSerializer.Serialize(RunReplay.Run(plan, rows)));
    }

    [Fact(Timeout = 60000)]
    public async Task What_is_there_is_never_written_over_without_being_asked_and_nothing_half_is_left()
    {
        var cancel = TestContext.Current.CancellationToken;
        await _bench.FillAsync(PlayedRun.Small(), cancel);
        var file = Path.Combine(_out, "run.json");
        await File.WriteAllTextAsync(file, "mine", cancel);

        var refused = Export(BundleBench.Run, "--format", "json", "--out", file);

        Assert.Equal(ExitCode.Failed, refused.Code);
        Assert.Contains("is there already; --force replaces it", refused.Error, StringComparison.Ordinal);
        Assert.Equal("mine", await File.ReadAllTextAsync(file, cancel));
        Export(BundleBench.Run, "--format", "json", "--out", file, "--force").Well();
        Assert.StartsWith("{", await File.ReadAllTextAsync(file, cancel), StringComparison.Ordinal);
        Assert.Equal([file], Directory.GetFiles(_out));
    }

    [Fact(Timeout = 60000)]
    public async Task Runs_are_chosen_by_name_day_and_tester_and_what_is_not_there_is_said()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using (var archive = _bench.Here.Open())
        {
            foreach (var (id, tester, day) in ((string, string, int)[])[("a", "bench-1", 0), ("b", "bench-2", 1), ("c", "bench-1", 2)])
            {
                await archive.BeginRunAsync(ArchiveBench.Header(id, tester) with { StartedAt = ArchiveBench.Start.AddDays(day) }, cancel);
                await archive.CloseRunAsync(id, ArchiveBench.Start.AddDays(day), ArchiveBench.Result, cancel);
            }
        }

        string[] Chosen(params string[] which)
        {
            var folder = Path.Combine(_out, string.Concat(which));
            Export([.. which, "--format", "json", "--out", folder]).Well();
            return [.. Directory.GetFiles(folder).Select(Path.GetFileName).Order()!];
        }

        Assert.Equal(["a.json", "b.json", "c.json"], Chosen("--all"));
        Assert.Equal(["a.json", "c.json"], Chosen("--tester", "bench-1"));
        Assert.Equal(["b.json", "c.json"], Chosen("--from", "2026-03-03"));
        Assert.Equal(["b.json"], Chosen("--from", "2026-03-03", "--to", "2026-03-03"));
        Assert.Equal(["a.json"], Chosen("a"));
        Export("d", "--format", "json", "--out", _out).Refused("RUN", "there is no run 'd'");
        Export("--format", "json", "--out", _out).Refused("RUN", "name runs, or say which");
        Export("a", "--all", "--format", "json", "--out", _out).Refused("RUN", "name runs, or say which");
        Export("--tester", "bench-9", "--format", "json", "--out", _out).Refused("RUN", "there is no run of that kind");
        Export("a", "--format", "json", "--witness", "--out", _out).Refused("--format", "are for a bundle");
        Ran.Command(ArchiveCommand.Build(), "export", "--all", "--format", "json", "--out", _out, "--data", Path.Combine(_out, "none")).Refused("--data", "There is no archive");
    }

    [Fact(Timeout = 60000)]
    public async Task A_bundle_is_of_a_run_that_has_ended_and_whose_record_is_as_it_was_written()
    {
        var cancel = TestContext.Current.CancellationToken;
        await _bench.FillAsync(PlayedRun.Small(), cancel);
        await using (var archive = _bench.Here.Open())
        {
            await PlayedRun.Small().WriteAsync(archive, "open", cancel, close: false);
            var refused = Export("open", "--format", "bundle", "--out", _out);
            Assert.Equal(ExitCode.Failed, refused.Code);
            Assert.Contains("run open is open", refused.Error, StringComparison.Ordinal);
        }

        using (var stranger = _bench.Here.Stranger(writes: true))
        {
            ArchiveBench.Ask(stranger, "UPDATE events SET at_seconds = 99 WHERE run = 1 AND sequence = 1");
        }

        var altered = Export(BundleBench.Run, "--format", "bundle", "--out", _out);
        Assert.Equal(ExitCode.Failed, altered.Code);
        Assert.Contains("its event 1 is not what was written", altered.Error, StringComparison.Ordinal);
        Assert.Empty(Directory.GetFiles(_out));
    }

    [Theory(Timeout = 60000)]
    [InlineData("UPDATE chunks SET body = zeroblob(100) WHERE run = 2 AND chunk = 0", "csv")]
    [InlineData("UPDATE chunks SET body = zeroblob(100) WHERE run = 2 AND chunk = 0", "parquet")]
    [InlineData("UPDATE runs SET result = '[1]' WHERE number = 2", "json")]
    [InlineData("UPDATE runs SET started_at_utc = 'yesterday' WHERE number = 2", "csv")]
    [InlineData("UPDATE runs SET plan = '{}' WHERE number = 2", "bundle")]
    public async Task A_run_that_is_damaged_is_named_and_the_others_are_given_out(string damage, string format)
    {
        var cancel = TestContext.Current.CancellationToken;
        await using (var archive = _bench.Here.Open())
        {
            foreach (var id in (string[])["r-1", "r-2", "r-3"])
            {
                await PlayedRun.Small().WriteAsync(archive, id, cancel);
            }
        }

        using (var stranger = _bench.Here.Stranger(writes: true))
        {
            ArchiveBench.Ask(stranger, damage);
        }

        var ran = Export("--all", "--format", format, "--out", _out);

        Assert.Equal(ExitCode.Failed, ran.Code);
        Assert.StartsWith("r-2: ", ran.Error, StringComparison.Ordinal);
        Assert.Contains("'r-2' is damaged at ", ran.Error, StringComparison.Ordinal);
        Assert.StartsWith("2 of 3 runs given out", ran.Output, StringComparison.Ordinal);
        var names = Directory.GetFiles(_out, "*", SearchOption.AllDirectories).Select(Path.GetFileName).ToArray();
        Assert.Contains(names, name => name!.StartsWith("r-1.", StringComparison.Ordinal));
        Assert.Contains(names, name => name!.StartsWith("r-3.", StringComparison.Ordinal));
        Assert.DoesNotContain(names, name => name!.StartsWith("r-2.", StringComparison.Ordinal));
        if (format == "csv")
        {
            var lines = (await File.ReadAllLinesAsync(Path.Combine(_out, "runs.csv"), cancel)).ToDictionary(line => line.Split(',')[0]);
            Assert.Equal(["r-1", "r-2", "r-3", "run"], lines.Keys.Order());
            Assert.EndsWith(",damage", lines["run"], StringComparison.Ordinal);
            Assert.All([lines["r-1"], lines["r-3"]], line => Assert.True(line.EndsWith(',') && line.Contains(",invalid,", StringComparison.Ordinal), line));
            Assert.DoesNotContain(",invalid,", lines["r-2"], StringComparison.Ordinal);
            Assert.Contains(damage.Contains("yesterday", StringComparison.Ordinal) ? ",its start: 'yesterday' is not a time" : "chunk 0: ", lines["r-2"], StringComparison.Ordinal);
        }
    }

    [Fact(Timeout = 60000)]
    public async Task A_bundle_has_what_the_wire_said_before_and_after_the_service_had_stopped()
    {
        var cancel = TestContext.Current.CancellationToken;
        await _bench.FillAsync(PlayedRun.Small(), cancel);
        var wires = Directory.CreateDirectory(Path.Combine(_bench.Here.Folder, "wires")).FullName;
        await File.WriteAllTextAsync(Path.Combine(wires, BundleBench.Run + ".wire"), "acquire-wire 1\n0 in before\\n\n", cancel);
        await File.WriteAllTextAsync(Path.Combine(wires, BundleBench.Run + ".2.wire"), "acquire-wire 1\n0 in after\\n\n", cancel);

        Export(BundleBench.Run, "--format", "bundle", "--wire", "--out", _out).Well();

        var wire = System.Text.Encoding.ASCII.GetString(BundleBench.Read(await File.ReadAllBytesAsync(Path.Combine(_out, BundleBench.Run + ".run.zip"), cancel)).Wire!);
        Assert.Contains("0 in before\\n\n", wire, StringComparison.Ordinal);
        Assert.EndsWith("0 in after\\n\n", wire, StringComparison.Ordinal);
    }

    private static JsonSerializerOptions PlanOptions { get; } = new(JsonSerializerDefaults.Web) { Converters = { new System.Text.Json.Serialization.JsonStringEnumConverter(JsonNamingPolicy.KebabCaseLower) } };

    private Ran Export(params string[] arguments) => Ran.Command(ArchiveCommand.Build(), ["export", .. arguments, "--data", _bench.Here.Folder]);
}
