using Acquire.Service.Sources;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Sources;

public sealed class WireTextTests
{
    [Fact]
    public void Any_bytes_come_back_from_their_text_which_is_printable()
    {
        Gen.Byte.Array[0, 300].Sample(bytes =>
        {
            var text = WireText.Escape(bytes);
            return text.All(character => character is >= ' ' and <= '~') && WireText.TryUnescape(text, out var back) && back.AsSpan().SequenceEqual(bytes);
        });
    }

    [Theory]
    [InlineData("READ\\r\\n", "52 45 41 44 0D 0A")]
    [InlineData("\\x02#01\\x03", "02 23 30 31 03")]
    [InlineData("a\\\\n\\t", "61 5C 6E 09")]
    public void Escapes_are_as_documented(string text, string bytes)
    {
        Assert.True(WireText.TryUnescape(text, out var read));
        Assert.Equal(bytes, Convert.ToHexString(read).Chunk(2).Select(pair => new string(pair)).Aggregate((all, one) => $"{all} {one}"));
    }

    [Theory]
    [InlineData("\\")]
    [InlineData("\\x0")]
    [InlineData("\\xG0")]
    [InlineData("\\q")]
    [InlineData("21 \u00b0C")]
    [InlineData("\r")]
    public void Anything_else_is_refused(string text)
    {
        Assert.False(WireText.TryUnescape(text, out _));
    }

    [Fact]
    public void Whatever_the_text_is_reading_it_never_throws()
    {
        Gen.String.Sample(text => WireText.TryUnescape(text, out var bytes) == (bytes is not null));
    }
}
