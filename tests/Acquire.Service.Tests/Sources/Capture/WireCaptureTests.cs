using System.Text;
using Acquire.Service.Configuration;
using Acquire.Service.Sources.Capture;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace Acquire.Service.Tests.Sources.Capture;

public sealed class WireCaptureTests
{
    private readonly FakeTimeProvider _time = new(new DateTimeOffset(2026, 3, 2, 8, 0, 0, TimeSpan.Zero));
    private readonly string _path = TestFolders.Make("acquire-capture-");

    [Fact(Timeout = 30000)]
    public async Task File_of_a_run_holds_what_came_during_it_and_just_before_and_nothing_of_the_next()
    {
        var capture = Capture();
        var tap = capture.Tap;
        tap.Received!("old\n"u8.ToArray());
        _time.Advance(TimeSpan.FromSeconds(3));
        tap.Received("0.1,60\n"u8.ToArray());
        _time.Advance(TimeSpan.FromSeconds(0.5));
        capture.Begin("run-1");
        _time.Advance(TimeSpan.FromSeconds(0.25));
        tap.Sent!("READ\n"u8.ToArray());
        tap.Fault!("unplugged");
        tap.Opened!();
        tap.Message!("a/b", "21.5"u8.ToArray());
        capture.End();
        tap.Received("later\n"u8.ToArray());
        await capture.FinishAsync().WaitAsync(TestContext.Current.CancellationToken);

        Assert.Equal(
            "acquire-wire 1\n# begun 2026-03-02T08:00:03.000Z\n# bench-1, serial /dev/x\n# the run run-1 begins at 500000\n0 in 0.1,60\\n\n750000 out READ\\n\n750000 lost unplugged\n750000 opened\n750000 message a/b\\x0021.5\n",
            await File.ReadAllTextAsync(Path.Combine(_path, "run-1.wire"), TestContext.Current.CancellationToken));
        Assert.True(WireRecordFile.TryRead(Path.Combine(_path, "run-1.wire"), out var records, out var errors, out _), string.Join("\n", errors));
        Assert.Equal([WireEvent.In, WireEvent.Out, WireEvent.Lost, WireEvent.Opened, WireEvent.Message], records.Select(record => record.Event));
    }

    [Fact(Timeout = 30000)]
    public async Task Run_that_goes_on_after_the_service_had_stopped_has_a_second_file()
    {
        foreach (var said in (string[])["before\n", "after\n"])
        {
            var capture = Capture();
            capture.Begin("run-5");
            capture.Tap.Received!(Encoding.ASCII.GetBytes(said));
            capture.End();
            await capture.FinishAsync().WaitAsync(TestContext.Current.CancellationToken);
        }

        Assert.Contains("before", await File.ReadAllTextAsync(Path.Combine(_path, "run-5.wire"), TestContext.Current.CancellationToken), StringComparison.Ordinal);
        Assert.Contains("after", await File.ReadAllTextAsync(Path.Combine(_path, "run-5.2.wire"), TestContext.Current.CancellationToken), StringComparison.Ordinal);
    }

    [Fact(Timeout = 30000)]
    public async Task File_that_has_reached_its_size_is_cut_and_says_where_and_why()
    {
        var capture = Capture(megabytes: 1);
        capture.Begin("run-2");
        var chunk = Encoding.ASCII.GetBytes(new string('x', 1000));
        for (var i = 0; i < 1500; i++)
        {
            capture.Tap.Received!(chunk);
        }

        capture.End();
        await capture.FinishAsync().WaitAsync(TestContext.Current.CancellationToken);

        var file = Path.Combine(_path, "run-2.wire");
        Assert.InRange(new FileInfo(file).Length, 990_000, 1_000_200);
        Assert.EndsWith("# cut here: the file has reached 1 MB (capture.largestMegabytes); what came later was not kept\n", await File.ReadAllTextAsync(file, TestContext.Current.CancellationToken), StringComparison.Ordinal);
        Assert.True(WireRecordFile.TryRead(file, out _, out _, out _));
    }

    [Fact(Timeout = 30000)]
    public async Task What_the_disk_cannot_take_in_time_is_left_out_and_counted_in_the_file_and_a_file_that_is_there_is_not_written_over()
    {
        var capture = Capture(megabytes: 100);
        capture.Begin("run-3");
        var tap = capture.Tap;
        for (var i = 0; i < 200_000; i++)
        {
            tap.Received!("1\n"u8.ToArray());
        }

        capture.Begin("run-3");
        capture.End();
        await capture.FinishAsync().WaitAsync(TestContext.Current.CancellationToken);

        var lines = await File.ReadAllLinesAsync(Path.Combine(_path, "run-3.wire"), TestContext.Current.CancellationToken);
        var kept = lines.Count(line => line.EndsWith(" in 1\\n", StringComparison.Ordinal));
        var missing = lines.Where(line => line.StartsWith("# ", StringComparison.Ordinal) && line.Contains("records are missing here", StringComparison.Ordinal)).Sum(line => int.Parse(line.Split(' ')[1], System.Globalization.CultureInfo.InvariantCulture));
        Assert.InRange(kept + missing, 150_000, 200_000);
    }

    [Fact(Timeout = 30000)]
    public async Task Files_that_are_too_old_go_as_the_next_run_begins_and_those_of_other_testers_stay()
    {
        string[] old = ["20260101T080000Z-bench-1-0001", "20260101T080000Z-other-bench-1-0002", "notes"];
        foreach (var name in old.Append("20260301T080000Z-bench-1-0003"))
        {
            var file = Path.Combine(_path, name + ".wire");
            await File.WriteAllTextAsync(file, "acquire-wire 1\n", TestContext.Current.CancellationToken);
            File.SetLastWriteTimeUtc(file, old.Contains(name) ? new(2026, 1, 1, 8, 0, 0, DateTimeKind.Utc) : new(2026, 3, 1, 8, 0, 0, DateTimeKind.Utc));
        }

        var capture = new WireCapture(new CaptureConfig(1, KeepDays: 30), new(_path), "bench-1", _time, NullLogger.Instance);
        capture.Begin("20260302T080000Z-bench-1-0004");
        capture.End();
        await capture.FinishAsync().WaitAsync(TestContext.Current.CancellationToken);

        Assert.Equal(
            ["20260101T080000Z-other-bench-1-0002", "20260301T080000Z-bench-1-0003", "20260302T080000Z-bench-1-0004", "notes"],
            Directory.GetFiles(_path).Select(Path.GetFileNameWithoutExtension).Order(StringComparer.Ordinal));
    }

    [Fact(Timeout = 30000)]
    public async Task All_files_of_a_run_are_given_as_one_that_is_read_like_any_other()
    {
        var cancel = TestContext.Current.CancellationToken;
        string[] parts =
        [
            "acquire-wire 1\n# begun 2026-03-02T08:00:00.000Z\n# bench-1\n0 opened\n900000 in 1,20.0\\n\n1000000 in 1,2",
            "",
            "acquire-wire 1\n# begun 2026-03-02T08:01:00.500Z\n# bench-1\n0 opened\n250000 in 2,21.0\\n\n",
            "acquire-wire 1\n# begun 2026-03-02T07:00:00.000Z\n# bench-1\n0 in 3,22.0\\n\n700000 in 3,2",
        ];
        foreach (var (index, part) in parts.Index())
        {
            await File.WriteAllTextAsync(Path.Combine(_path, index == 0 ? "run-6.wire" : $"run-6.{index + 1}.wire"), part, cancel);
        }

        var folder = new CaptureFolder(_path);
        var joined = Path.Combine(_path, "joined");
        await using (var target = File.Create(joined))
        await using (var open = folder.Open("run-6")!)
        {
            await open.WriteAsync(target, cancel);
        }

        Assert.Equal(parts.Sum(part => part.Length), folder.SizeOf("run-6"));
        Assert.True(WireRecordFile.TryRead(joined, out var records, out var errors, out var cut), string.Join("\n", errors));
        Assert.NotNull(cut);
        Assert.Equal(
            ["0 opened", "900000 in 1,20.0\\n", "60500000 lost the service had stopped", "60500000 opened", "60750000 in 2,21.0\\n", "60750000 lost the service had stopped", "60750000 opened", "60750000 in 3,22.0\\n"],
            records.Select(record => record.ToLine()));
        Assert.Contains("# the last line of this part was cut off in the writing and is left out\n", await File.ReadAllTextAsync(joined, cancel), StringComparison.Ordinal);
        Assert.Null(folder.Open("run-7"));
        Assert.Null(folder.SizeOf("run-7"));
    }

    [Fact(Timeout = 30000)]
    public async Task One_file_is_given_as_it_is_and_a_later_one_also_where_the_first_is_gone()
    {
        var cancel = TestContext.Current.CancellationToken;
        await File.WriteAllTextAsync(Path.Combine(_path, "run-8.2.wire"), "acquire-wire 1\n5 in x", cancel);
        using var target = new MemoryStream();
        await using (var open = new CaptureFolder(_path).Open("run-8")!)
        {
            await open.WriteAsync(target, cancel);
        }

        Assert.Equal("acquire-wire 1\n5 in x", Encoding.ASCII.GetString(target.ToArray()));
    }

    [Fact]
    public void Nothing_is_kept_where_there_is_no_folder()
    {
        var capture = new WireCapture(new(1), new(null), "x", _time, NullLogger.Instance);
        capture.Begin("run-4");

        Assert.True(capture.FinishAsync().IsCompleted);
    }

    private WireCapture Capture(int megabytes = 16) => new(new CaptureConfig(megabytes), new(_path), "bench-1, serial /dev/x", _time, NullLogger.Instance);
}
