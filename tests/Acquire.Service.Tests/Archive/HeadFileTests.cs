using Acquire.Core;
using Acquire.Service.Archive.Chain;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Archive;

public sealed class HeadFileTests
{
    private static readonly ArchiveHead Head = new("38e84207-9c75-4a25-9882-864028336300", 705, Enumerable.Range(0, 32).Select(i => (byte)i).ToArray(), new byte[] { 1, 2, 3 });

    [Fact]
    public void What_is_written_is_read_again()
    {
        var read = HeadFile.TryParse(HeadFile.Write(Head), "head.json", out var error);

        Assert.Null(error);
        Assert.Equal((Head.Archive, Head.Link), (read!.Archive, read.Link));
        Assert.Equal(Head.Digest.ToArray(), read.Digest.ToArray());
        Assert.Equal(Head.Signature!.Value.ToArray(), read.Signature!.Value.ToArray());
        Assert.Null(HeadFile.TryParse(HeadFile.Write(Head with { Signature = null }), "head.json", out _)!.Signature);
    }

    [Fact]
    public void Signed_are_four_lines_of_ASCII() => Assert.Equal(
        "acquire-archive-head-1\n38e84207-9c75-4a25-9882-864028336300\n705\n000102030405060708090a0b0c0d0e0f101112131415161718191a1b1c1d1e1f\n",
        System.Text.Encoding.ASCII.GetString(Head.SignedBytes()));

    [Fact]
    public void Damaged_text_is_either_a_head_or_a_mistake_and_never_throws()
    {
        var text = HeadFile.Write(Head);
        Gen.Select(Gen.Int[0, text.Length - 1], Gen.Char).Sample((at, character) =>
        {
            var read = HeadFile.TryParse(string.Concat(text.AsSpan(0, at), [character], text.AsSpan(at + 1)), "head.json", out var error);
            Assert.True(read is null != error is null);
        });
        Gen.String.Sample(any => Assert.NotNull(Error(any)));
    }

    private static InputError? Error(string text)
    {
        Assert.Null(HeadFile.TryParse(text, "head.json", out var error));
        return error;
    }
}
