using Acquire.Core;
using Acquire.Service.Sources.Capture;
using CsCheck;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace Acquire.Service.Tests.Sources.Capture;

public sealed class WireRecordTests
{
    private const string Head = WireRecord.Header + "\n";

    [Fact]
    public void What_went_over_a_wire_is_written_with_its_monotonic_time_and_read_again()
    {
        var time = new FakeTimeProvider(new DateTimeOffset(2026, 3, 2, 8, 0, 0, TimeSpan.Zero));
        using var text = new StringWriter();
        using (var recorder = new WireRecorder(text, time, "serial /dev/none, 9600 baud", exception => Assert.Fail(exception.Message)))
        {
            var tap = recorder.Tap;
            tap.Opened!();
            time.Advance(TimeSpan.FromMicroseconds(1250));
            tap.Sent!("READ\r"u8.ToArray());
            time.Advance(TimeSpan.FromMilliseconds(20));
            tap.Received!(new byte[] { 0x02, (byte)'1', 0xFF, (byte)'\n' });
            tap.Fault!("/dev/none was unplugged: plug it in again");
            Assert.Equal((4, 5), (recorder.BytesIn, recorder.BytesOut));
        }

        const string Expected = Head + """
            # begun 2026-03-02T08:00:00.000Z
            # serial /dev/none, 9600 baud
            0 opened
            1250 out READ\r
            21250 in \x021\xFF\n
            21250 lost /dev/none was unplugged: plug it in again

            """;
        Assert.Equal(Expected, text.ToString());
        Assert.Equal([(0, WireEvent.Opened), (1250, WireEvent.Out), (21250, WireEvent.In), (21250, WireEvent.Lost)], Read(Expected).Select(record => (record.AtMicroseconds, record.Event)));
    }

    [Theory]
    [InlineData("", "file: ", "is empty")]
    [InlineData("acquire-wire 2\n", "file line 1", "allowed: \"acquire-wire 1\"")]
    [InlineData(Head + "# a comment\n\n5 in\n", "file line 4", "given 0 bytes; allowed: none after \"opened\", else 1 to 4096")]
    [InlineData(Head + "5 opened now\n", "file line 2", "given 3 bytes")]
    [InlineData(Head + "5 on x\n", "file line 2", "given \"5 on x\"; allowed: MICROSECONDS, then \"opened\", \"in BYTES\"")]
    [InlineData(Head + "-5 in x\n", "file line 2", "allowed: MICROSECONDS")]
    [InlineData(Head + "5 in \\q\n", "file line 2", "given \"\\q\"; allowed: bytes as printable ASCII and the escapes")]
    [InlineData(Head + "5 in x\n4 in x\n", "file line 3", "given 4 µs after 5 µs; allowed: times that do not go back")]
    public void Mistake_in_a_file_is_told_with_its_line_and_what_is_allowed(string text, string place, string told)
    {
        Assert.False(WireRecordFile.TryRead(new StringReader(text), "file", isWhole: true, out var records, out var errors, out _));

        Assert.Empty(records);
        Assert.StartsWith(place.TrimEnd(' ', ':'), Assert.Single(errors).Path, StringComparison.Ordinal);
        Assert.Contains(told, errors[0].Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Any_bytes_come_back_from_a_record_and_any_text_is_read_without_throwing()
    {
        Gen.Select(Gen.Byte.Array[1, WireRecord.MostBytes], Gen.Long[0, long.MaxValue]).Sample(
            (bytes, at) => WireRecord.TryParse(new WireRecord(at, WireEvent.In, bytes).ToLine(), out var record, out _)
                && record.AtMicroseconds == at && record.Event == WireEvent.In && record.Bytes.Span.SequenceEqual(bytes),
            iter: 300);
        Gen.String.Sample(line => WireRecord.TryParse(line, out var record, out var mistake) ? mistake is null : record is null);
    }

    [Fact]
    public void File_of_noise_has_at_most_twenty_mistakes()
    {
        Assert.False(WireRecordFile.TryRead(new StringReader(Head + string.Concat(Enumerable.Repeat("noise\n", 1000))), "file", isWhole: true, out _, out var errors, out _));

        Assert.Equal(20, errors.Count);
    }

    [Fact]
    public void Disk_that_takes_nothing_more_is_told_once_and_holds_nobody_up()
    {
        var told = new List<Exception>();
        using var recorder = new WireRecorder(new FullDisk(), new FakeTimeProvider(), "x", told.Add);

        recorder.Tap.Received!(new byte[10]);
        recorder.Tap.Received!(new byte[10]);
        recorder.Flush();

        Assert.IsType<IOException>(Assert.Single(told));
    }

    [Fact]
    public void However_the_bytes_were_cut_the_replayed_rows_are_the_same_and_a_fragment_after_opening_is_none()
    {
        var config = SourceSamples.Serial("/dev/none");
        Gen.Int[1, 40].Sample(
            step =>
            {
                var seen = new List<double>();
                var replay = new WireReplay(config, (_, line) => seen.Add(line.Row?.AtSeconds ?? -1));
                replay.Take(new(0, WireEvent.Opened, default));
                foreach (var piece in "5,99,0.1,0\n1,100,0.5,0\r\n\ngarbage\n2,101,0.5,1\n"u8.ToArray().Chunk(step))
                {
                    replay.Take(new(10, WireEvent.In, piece));
                }

                return seen.SequenceEqual([1.0, -1, 2]);
            },
            iter: 40);
    }

    [Fact]
    public void Answers_are_replayed_as_those_to_the_newest_command_with_the_time_half_way()
    {
        var config = SourceSamples.Serial("/dev/none", columns: """
            "poll": { "commands": [ { "send": "T?\\n", "columns": [ { "channel": "temperature", "unit": "degC" } ] }, { "send": "D?\\n", "columns": [ { "channel": "detector" } ] } ] }
            """);
        var seen = new List<string>();
        var replay = new WireReplay(config, (at, line) => seen.Add(FormattableString.Invariant($"{at} {line.Row?.Present.ToString() ?? line.Error!.Message}")));

        foreach (var record in Read(Head + "0 opened\n1000000 out T?\\n\n1200000 in T?\\n21\n1400000 in .5\\n\n2000000 out D?\\n\n2100000 in 3\\n4\\n\n3000000 lost x\n"))
        {
            replay.Take(record);
        }

        Assert.Equal(["1.2 Temperature", "2.05 Detector"], seen);
    }

    private static IReadOnlyList<WireRecord> Read(string text)
    {
        Assert.True(WireRecordFile.TryRead(new StringReader(text), "file", isWhole: true, out var records, out IReadOnlyList<InputError> errors, out _), string.Join("\n", errors));
        return records;
    }

    private sealed class FullDisk : StringWriter
    {
        public override void Write(string? value) => throw new IOException("No space left on device");
    }
}
