using System.Text;
using Acquire.Service.Sources.Serial;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Sources.Serial;

public sealed class LineFramerTests
{
    [Fact]
    public void Both_line_ends_are_taken()
    {
        Assert.Equal(["a", "b", "", "c"], Frame("a\r\nb\n\r\nc\n", 100));
    }

    [Fact]
    public void Line_without_its_end_waits()
    {
        Assert.Equal(["a"], Frame("a\nb", 100));
    }

    [Fact]
    public void Line_of_the_greatest_length_is_taken_with_either_end()
    {
        var line = new string('x', LineFramer.LongestLineBytes);

        Assert.Equal([line, line], Frame($"{line}\r\n{line}\n", 7));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(100)]
    [InlineData(4000)]
    public void Line_that_is_too_long_is_stated_once_and_the_next_one_is_whole(int step)
    {
        Assert.Equal(["too long", "next"], Frame(new string('x', 10_000) + "\nnext\n", step));
    }

    [Theory]
    [InlineData("\r")]
    [InlineData("\r\n")]
    [InlineData("\u0003")]
    [InlineData(";;>")]
    public void Other_line_ends_are_taken_however_the_bytes_are_cut_and_a_line_that_is_too_long_is_stated_once(string end)
    {
        var longest = new string('x', LineFramer.LongestLineBytes);
        string[] lines = ["a", "", longest, new string('y', 10_000), "b"];
        string[] expected = ["a", "", longest, "too long", "b"];

        for (var step = 1; step < 1100; step += 97)
        {
            Assert.Equal(expected, Frame(string.Concat(lines.Select(line => line + end)), step, end));
        }
    }

    [Fact]
    public void However_the_bytes_are_cut_the_lines_are_the_same()
    {
        var lines = Gen.Select(Gen.String[Gen.Char['a', 'e'], 0, 40].Array[0, 30], Gen.Int[1, 90], Gen.Bool);

        lines.Sample((texts, step, carriage) =>
            Frame(string.Concat(texts.Select(text => text + (carriage ? "\r\n" : "\n"))), step).SequenceEqual(texts));
    }

    private static List<string> Frame(string stream, int step, string? end = null)
    {
        var framer = new LineFramer(end is null ? null : new(Encoding.ASCII.GetBytes(end), DropsCarriageReturn: false));
        var lines = new List<string>();
        var bytes = Encoding.ASCII.GetBytes(stream).AsSpan();
        while (!bytes.IsEmpty)
        {
            var count = Math.Min(Math.Min(step, bytes.Length), framer.Free.Length);
            bytes[..count].CopyTo(framer.Free.Span);
            framer.Written(count);
            bytes = bytes[count..];
            FrameKind kind;
            while ((kind = framer.Take(out var line)) != FrameKind.None)
            {
                lines.Add(kind == FrameKind.TooLong ? "too long" : Encoding.ASCII.GetString(line.Span));
            }
        }

        return lines;
    }
}
