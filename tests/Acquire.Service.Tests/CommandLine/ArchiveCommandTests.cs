using Acquire.Service.CommandLine;
using Acquire.Service.Tests.Archive;
using Xunit;

namespace Acquire.Service.Tests.CommandLine;

public sealed class ArchiveCommandTests : IDisposable
{
    private readonly ArchiveBench _bench = new();
    private readonly string _elsewhere = TestFolders.Make("acquire-witness-");

    public void Dispose()
    {
        _bench.Dispose();
        Directory.Delete(_elsewhere, recursive: true);
    }

    [Fact(Timeout = 60000)]
    public async Task A_sound_archive_is_verified_also_while_it_is_open_and_nothing_is_written()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using (var archive = _bench.Open())
        {
            await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);
            await archive.AppendEventsAsync("r-1", ArchiveBench.EveryFact, cancel);
            Assert.Contains("sound.", Verify().Well().Output, StringComparison.Ordinal);
            await archive.CloseRunAsync("r-1", ArchiveBench.Start, ArchiveBench.Result, cancel);
        }

        var before = await File.ReadAllBytesAsync(_bench.Path, cancel);
        var output = Verify().Well().Output;

        Assert.Contains("header 1", output, StringComparison.Ordinal);
        Assert.Contains("Not proved:", output, StringComparison.Ordinal);
        Assert.Equal(before, await File.ReadAllBytesAsync(_bench.Path, cancel));
    }

    [Fact(Timeout = 60000)]
    public async Task A_tampered_archive_ends_with_1_and_names_the_record()
    {
        await FillAsync(TestContext.Current.CancellationToken);
        using (var stranger = _bench.Stranger(writes: true))
        {
            ArchiveBench.Ask(stranger, "UPDATE events SET body = replace(body, '221.4', '231.4')");
        }

        var ran = Verify();

        Assert.Equal(ExitCode.Failed, ran.Code);
        Assert.Contains("run 'r-1', event 12: altered", ran.Output, StringComparison.Ordinal);
        Assert.Contains("NOT SOUND", ran.Output, StringComparison.Ordinal);
    }

    [Fact(Timeout = 60000)]
    public async Task A_signed_head_proves_what_came_before_it()
    {
        await FillAsync(TestContext.Current.CancellationToken);
        var (key, head) = (Path.Combine(_elsewhere, "lab.pem"), Path.Combine(_elsewhere, "head.json"));
        var publicKey = Path.Combine(_elsewhere, "lab.public.pem");
        Archive("key", "--out", key).Well();
        Archive("head", "--data", _bench.Folder, "--out", head, "--sign", key).Well();

        Assert.Contains("sound.", Verify("--head", head, "--public-key", publicKey).Well().Output, StringComparison.Ordinal);
        Assert.Contains("its signature was not looked at", Verify("--head", head).Well().Output, StringComparison.Ordinal);
        if (!OperatingSystem.IsWindows())
        {
            Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(key));
        }
    }

    [Fact(Timeout = 60000)]
    public async Task A_head_that_was_changed_or_signed_by_another_or_not_at_all_is_not_believed()
    {
        var cancel = TestContext.Current.CancellationToken;
        await FillAsync(cancel);
        var (key, other, head) = (Path.Combine(_elsewhere, "lab.pem"), Path.Combine(_elsewhere, "other.pem"), Path.Combine(_elsewhere, "head.json"));
        Archive("key", "--out", key).Well();
        Archive("key", "--out", other).Well();
        Archive("head", "--data", _bench.Folder, "--out", head, "--sign", key).Well();
        var signed = await File.ReadAllTextAsync(head, cancel);

        AssertNotBelieved(Verify("--head", head, "--public-key", Path.Combine(_elsewhere, "other.public.pem")), "is not of the key");
        await File.WriteAllTextAsync(head, signed.Replace("\"link\": ", "\"link\": 1", StringComparison.Ordinal), cancel);
        AssertNotBelieved(Verify("--head", head, "--public-key", Path.Combine(_elsewhere, "lab.public.pem")), "is not of the key");
        await File.WriteAllTextAsync(head, System.Text.RegularExpressions.Regex.Replace(signed, "\"signature\": \"[^\"]*\"", "\"signature\": \"AAAA\""), cancel);
        AssertNotBelieved(Verify("--head", head, "--public-key", Path.Combine(_elsewhere, "lab.public.pem")), "is not of the key");
        Archive("head", "--data", _bench.Folder, "--out", head).Well();
        AssertNotBelieved(Verify("--head", head, "--public-key", Path.Combine(_elsewhere, "lab.public.pem")), "it is not signed");
    }

    [Fact]
    public void What_cannot_be_used_ends_with_2_and_says_what_is_allowed()
    {
        Verify().Refused("--data", "There is no archive");
        Verify("--public-key", "x.pem").Refused("--public-key", "needs --head");
        var file = Path.Combine(_elsewhere, "x");
        File.WriteAllText(file, "{}");
        Verify("--head", file).Refused(file, "format is not acquire-archive-head-1");
        File.WriteAllText(file, "[");
        Verify("--head", file).Refused(file, "is not JSON with format, archive, link, digest");
        File.WriteAllText(file, """{"format":"acquire-archive-head-1","archive":"a","link":-1,"digest":""}""");
        Verify("--head", file).Refused(file, "link is not a whole number from 0");
        File.WriteAllText(_bench.Path, "no database");
        Assert.Equal(ExitCode.Failed, Verify().Code);
    }

    [Fact(Timeout = 60000)]
    public async Task Keys_are_refused_that_cannot_sign_and_never_overwritten()
    {
        await FillAsync(TestContext.Current.CancellationToken);
        var (key, inside) = (Path.Combine(_elsewhere, "lab.pem"), Path.Combine(_bench.Folder, "lab.pem"));
        Archive("key", "--out", key).Well();
        Archive("key", "--out", key).Refused("--out", "cannot be written");
        Archive("key", "--out", Path.ChangeExtension(key, ".key")).Refused("--out", "cannot be written");
        Assert.False(File.Exists(Path.ChangeExtension(key, ".key")));
        Archive("key", "--out", inside).Well();
        Archive("head", "--data", _bench.Folder, "--sign", inside).Refused("--sign", "lies in the archive's folder");
        var publicKey = Path.Combine(_elsewhere, "lab.public.pem");
        Archive("head", "--data", _bench.Folder, "--sign", publicKey).Refused(publicKey, "a private key on the curve P-256");
        Archive("head", "--data", _bench.Folder, "--sign", key + ".none").Refused(key + ".none", "is not the key");
    }

    [Theory]
    [InlineData("verify", "--data")]
    [InlineData("verify", "--config")]
    [InlineData("verify", "--head")]
    [InlineData("backup", "--to")]
    [InlineData("head", "--out")]
    [InlineData("key", "--out")]
    public void An_empty_name_of_a_file_is_refused_in_words(string verb, string option)
    {
        var parsed = ArchiveCommand.Build().Parse([verb, option, ""]);

        Assert.Contains(parsed.Errors, error => error.Message == $"{option}: is empty; name a file or a folder");
    }

    [Fact(Timeout = 60000)]
    public async Task A_head_takes_the_place_of_an_earlier_head_and_of_nothing_else()
    {
        var cancel = TestContext.Current.CancellationToken;
        await FillAsync(cancel);
        var (before, key, head) = (await File.ReadAllBytesAsync(_bench.Path, cancel), Path.Combine(_elsewhere, "lab.pem"), Path.Combine(_elsewhere, "head.json"));
        Archive("key", "--out", key).Well();

        Archive("head", "--data", _bench.Folder, "--out", _bench.Path).Refused("--out", "is there already and is no head");
        Archive("head", "--data", _bench.Folder, "--out", key, "--sign", key).Refused("--out", "is there already and is no head");
        Archive("head", "--data", _bench.Folder, "--out", head).Well();
        Archive("head", "--data", _bench.Folder, "--out", head, "--sign", key).Well();

        Assert.Equal(before, await File.ReadAllBytesAsync(_bench.Path, cancel));
        Assert.Contains("signature", await File.ReadAllTextAsync(head, cancel), StringComparison.Ordinal);
    }

    private static void AssertNotBelieved(Ran ran, string why)
    {
        Assert.Equal(ExitCode.Failed, ran.Code);
        Assert.Contains(why, ran.Output, StringComparison.Ordinal);
    }

    private static Ran Archive(params string[] arguments) => Ran.Command(ArchiveCommand.Build(), arguments);

    private Ran Verify(params string[] more) => Archive(["verify", "--data", _bench.Folder, .. more]);

    private async Task FillAsync(CancellationToken cancel)
    {
        await using var archive = _bench.Open();
        await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);
        await archive.AppendRowsAsync("r-1", ArchiveBench.PlausibleRun(600), cancel);
        await archive.AppendEventsAsync("r-1", ArchiveBench.EveryFact, cancel);
        await archive.CloseRunAsync("r-1", ArchiveBench.Start, ArchiveBench.Result, cancel);
    }
}
