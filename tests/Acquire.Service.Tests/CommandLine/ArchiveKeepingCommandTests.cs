using Acquire.Service.CommandLine;
using Acquire.Service.Tests.Archive;
using Xunit;

namespace Acquire.Service.Tests.CommandLine;

/// <summary>Backup, restore, hold, prune and audit as they are typed.</summary>
public sealed class ArchiveKeepingCommandTests : IDisposable
{
    private readonly ArchiveBench _bench = new();
    private readonly string _elsewhere = TestFolders.Make("acquire-copies-");

    private string Config => Path.Combine(_elsewhere, "acquire.json");

    public void Dispose()
    {
        _bench.Dispose();
        Directory.Delete(_elsewhere, recursive: true);
    }

    [Fact(Timeout = 60000)]
    public async Task A_copy_is_made_while_the_archive_is_open_with_a_signed_head_and_is_put_back()
    {
        var cancel = TestContext.Current.CancellationToken;
        var (copy, key) = (Path.Combine(_elsewhere, "copy.db"), Path.Combine(_elsewhere, "lab.pem"));
        Archive("key", "--out", key).Well();
        await using (var archive = _bench.Open())
        {
            await FillAsync(archive, "r-1", cancel);
            Assert.Contains($"{3 + ArchiveBench.EveryFact.Count} records, sound", Archive("backup", "--data", _bench.Folder, "--to", copy, "--sign", key).Well().Output, StringComparison.Ordinal);
            await FillAsync(archive, "r-2", cancel);
            Failed(Archive("restore", copy, "--data", _bench.Folder), "copy", "another instance of this program has it open");
        }

        Assert.Contains("sound.", Archive("verify", "--data", _bench.Folder, "--head", copy + ".head.json", "--public-key", Path.Combine(_elsewhere, "lab.public.pem")).Well().Output, StringComparison.Ordinal);
        Failed(Archive("backup", "--data", _bench.Folder, "--to", copy), "--to", "never takes the place of another");
        var output = Archive("restore", copy, "--data", _bench.Folder, "--head", copy + ".head.json").Well().Output;

        Assert.Contains($"The newest {2 + ArchiveBench.EveryFact.Count} records are only there", output, StringComparison.Ordinal);
        await using var restored = _bench.Open();
        Assert.Equal(["r-1"], restored.ListRuns(null, 10).Select(run => run.Id));
    }

    [Fact(Timeout = 60000)]
    public async Task A_folder_takes_copies_named_after_the_time()
    {
        await using (var archive = _bench.Open())
        {
            await FillAsync(archive, "r-1", TestContext.Current.CancellationToken);
        }

        Archive("backup", "--data", _bench.Folder, "--to", _elsewhere).Well();

        Assert.Matches(@"runs-\d{8}T\d{6}Z\.db$", Assert.Single(Directory.GetFiles(_elsewhere, "*.db")));
    }

    [Fact(Timeout = 60000)]
    public async Task Runs_older_than_the_laboratory_keeps_them_are_pruned_by_order_and_the_audit_tells_who_and_why()
    {
        WriteConfig("""{"keepDays":30}""", """{"mayHold":["Ada"],"mayPrune":["Bea"]}""");
        await using (var archive = _bench.Open())
        {
            await FillAsync(archive, "old", TestContext.Current.CancellationToken);
            await FillAsync(archive, "held", TestContext.Current.CancellationToken);
        }

        Directory.CreateDirectory(Path.Combine(_bench.Folder, "wires"));
        await File.WriteAllTextAsync(Path.Combine(_bench.Folder, "wires", "old.wire"), "x", TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(Path.Combine(_bench.Folder, "wires", "old.2.wire"), "x", TestContext.Current.CancellationToken);
        Assert.Contains("on hold", Archive("hold", "held", "--config", Config, "--person", "Ada", "--reason", "a complaint is open").Well().Output, StringComparison.Ordinal);
        Archive("hold", "held", "--config", Config, "--person", "Bea", "--reason", "x").Refused("person", "may not hold");
        var copy = Path.Combine(_elsewhere, "copy.db");
        Archive("backup", "--config", Config, "--to", copy).Well();
        string[] order = ["prune", "--config", Config, "--person", "Bea", "--reason", "ten years are over", "--copy", copy];

        Assert.Contains("1 runs ended more than 30 days ago and are not on hold. Nothing was changed.", Archive([.. order, "--dry-run"]).Well().Output, StringComparison.Ordinal);
        var output = Archive(order).Well().Output;

        Assert.Contains("old: taken away; ended 2026-03-02", output, StringComparison.Ordinal);
        Assert.Contains("held: on hold by Ada", output, StringComparison.Ordinal);
        Assert.Empty(Directory.GetFiles(Path.Combine(_bench.Folder, "wires")));
        Assert.Contains("sound.", Archive("verify", "--config", Config, "--head", copy + ".head.json").Well().Output, StringComparison.Ordinal);
        var audit = Archive("audit", "--config", Config).Well().Output;
        Assert.Contains("held  Ada: put on hold (a complaint is open)", audit, StringComparison.Ordinal);
        Assert.Contains($"old  Bea: pruned {2 + ArchiveBench.EveryFact.Count} records", audit, StringComparison.Ordinal);
        Assert.Contains("2 entries", audit, StringComparison.Ordinal);
        Assert.Contains("1 entries", Archive("audit", "--config", Config, "--run", "old").Well().Output, StringComparison.Ordinal);
        Assert.Contains("0 runs ended", Archive(order).Well().Output, StringComparison.Ordinal);
    }

    [Fact(Timeout = 60000)]
    public async Task An_order_is_refused_without_role_retention_or_copy_and_nothing_is_touched()
    {
        WriteConfig("""{"keepDays":30}""", """{"mayPrune":["Bea"]}""");
        await using (var archive = _bench.Open())
        {
            await FillAsync(archive, "old", TestContext.Current.CancellationToken);
        }

        string[] order = ["prune", "--config", Config, "--reason", "ten years are over"];
        Archive([.. order, "--person", "Ada", "--for-good"]).Refused("--person", "may not prune", "allowed: Bea");
        Archive([.. order, "--person", "Bea"]).Refused("--copy", "either a copy");
        Archive([.. order, "--person", "Bea", "--for-good", "--older-than-days", "29"]).Refused("--older-than-days", "allowed: 30");
        Failed(Archive([.. order, "--person", "Bea", "--copy", Path.Combine(_elsewhere, "none.db")]), "--copy", "There is no archive");
        WriteConfig("null", """{"mayPrune":["Bea"]}""");
        Archive([.. order, "--person", "Bea", "--for-good"]).Refused("--config", "kept for ever");

        await using var again = _bench.Open();
        Assert.NotNull(again.FindRun("old"));
    }

    [Fact(Timeout = 60000)]
    public async Task A_run_that_a_service_ended_in_the_middle_of_is_left_to_it()
    {
        WriteConfig("""{"keepDays":30}""", """{"mayHold":["Ada"],"mayPrune":["Bea"]}""");
        await using (var archive = _bench.Open())
        {
            await FillAsync(archive, "old", TestContext.Current.CancellationToken);
            await archive.BeginRunAsync(ArchiveBench.Header("broken-off"), TestContext.Current.CancellationToken);
        }

        Archive("hold", "old", "--config", Config, "--person", "Ada", "--reason", "a complaint is open").Well();
        Archive("hold", "broken-off", "--config", Config, "--person", "Ada", "--reason", "a complaint is open").Refused("id", "is open");
        Archive("prune", "--config", Config, "--person", "Bea", "--reason", "ten years are over", "--for-good").Well();

        await using var again = _bench.Open(new Acquire.Service.Archive.ArchiveOptions { KeepsOpenRuns = true });
        Assert.Equal(["broken-off"], again.OpenRuns());
    }

    [Fact(Timeout = 60000)]
    public async Task The_head_of_a_copy_that_was_moved_away_is_never_overwritten()
    {
        await using (var archive = _bench.Open())
        {
            await FillAsync(archive, "r-1", TestContext.Current.CancellationToken);
        }

        var copy = Path.Combine(_elsewhere, "copy.db");
        Archive("backup", "--data", _bench.Folder, "--to", copy).Well();
        File.Delete(copy);
        var head = await File.ReadAllTextAsync(copy + ".head.json", TestContext.Current.CancellationToken);
        await using (var archive = _bench.Open())
        {
            await FillAsync(archive, "r-2", TestContext.Current.CancellationToken);
        }

        Failed(Archive("backup", "--data", _bench.Folder, "--to", copy), "--to", "copy.db.head.json already");

        Assert.Equal(head, await File.ReadAllTextAsync(copy + ".head.json", TestContext.Current.CancellationToken));
        Assert.Equal([copy + ".head.json"], Directory.GetFileSystemEntries(_elsewhere));
    }

    [Fact(Timeout = 60000)]
    public async Task A_folder_that_is_not_there_yet_is_made()
    {
        await using (var archive = _bench.Open())
        {
            await FillAsync(archive, "r-1", TestContext.Current.CancellationToken);
        }

        var folder = Path.Combine(_elsewhere, "copies") + Path.DirectorySeparatorChar;
        Archive("backup", "--data", _bench.Folder, "--to", folder).Well();

        Assert.Single(Directory.GetFiles(folder, "runs-*.db"));
    }

    [Fact(Timeout = 120000)]
    public async Task A_run_that_cannot_be_taken_away_is_told_and_what_an_earlier_order_left_goes_with_the_next_one()
    {
        WriteConfig("""{"keepDays":30}""", """{"mayPrune":["Bea"]}""");
        await using (var archive = _bench.Open())
        {
            await FillAsync(archive, "old", TestContext.Current.CancellationToken);
            await FillAsync(archive, "older", TestContext.Current.CancellationToken);
        }

        string[] order = ["prune", "--config", Config, "--person", "Bea", "--reason", "ten years are over", "--for-good"];
        using (var stranger = _bench.Stranger(writes: true))
        {
            ArchiveBench.Ask(stranger, "BEGIN IMMEDIATE");
            var ran = Archive(order);
            Failed(ran, "old", "was not taken away: The archive cannot be written: another program holds the archive locked");
            Assert.Contains("0 runs were taken away, 2 were not.", ran.Output, StringComparison.Ordinal);
        }

        Archive(order).Well();
        var wires = Path.Combine(_bench.Folder, "wires");
        Directory.CreateDirectory(wires);
        foreach (var file in (string[])["old.wire", "old.2.wire", "other.wire"])
        {
            await File.WriteAllTextAsync(Path.Combine(wires, file), "x", TestContext.Current.CancellationToken);
        }

        Assert.Contains("0 runs ended", Archive([.. order, "--dry-run"]).Well().Output, StringComparison.Ordinal);
        Assert.Equal(3, Directory.GetFiles(wires).Length);
        Archive(order).Well();
        Assert.Equal([Path.Combine(wires, "other.wire")], Directory.GetFiles(wires));
    }

    [Theory]
    [InlineData("--person", "=Ada", "begins with '='")]
    [InlineData("--reason", " ", "not only spaces")]
    public void A_name_or_a_reason_that_cannot_be_is_refused_before_anything_is_read(string option, string value, string why)
    {
        var given = new Dictionary<string, string> { ["--person"] = "Ada", ["--reason"] = "x", [option] = value };

        var parsed = ArchiveCommand.Build().Parse(["hold", "r-1", .. given.SelectMany(one => new[] { one.Key, one.Value })]);

        Assert.Contains(parsed.Errors, error => error.Message.Contains(why, StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("3,5")]
    [InlineData("3650 d")]
    [InlineData("NaN")]
    [InlineData("-1")]
    [InlineData("99999999999")]
    public void Days_that_are_no_whole_number_are_refused_in_words(string days)
    {
        var parsed = ArchiveCommand.Build().Parse(["prune", "--person", "Bea", "--reason", "x", "--for-good", $"--older-than-days={days}"]);

        Assert.Contains(parsed.Errors, error => error.Message == $"--older-than-days: '{days}' is not a whole number such as 3650");
    }

    private static void Failed(Ran ran, string path, string why)
    {
        Assert.Equal(ExitCode.Failed, ran.Code);
        Assert.StartsWith(path + ": ", ran.Error, StringComparison.Ordinal);
        Assert.Contains(why, ran.Error, StringComparison.Ordinal);
    }

    private static Ran Archive(params string[] arguments) => Ran.Command(ArchiveCommand.Build(), arguments);

    private void WriteConfig(string retention, string roles) =>
        File.WriteAllText(Config, $$"""{"dataDirectory":"{{_bench.Folder}}","retention":{{retention}},"roles":{{roles}},"testers":[]}""");

    private static async Task FillAsync(Acquire.Service.Archive.RunArchive archive, string id, CancellationToken cancel)
    {
        await archive.BeginRunAsync(ArchiveBench.Header(id), cancel);
        await archive.AppendEventsAsync(id, ArchiveBench.EveryFact, cancel);
        await archive.CloseRunAsync(id, ArchiveBench.Start, ArchiveBench.Result, cancel);
    }
}
