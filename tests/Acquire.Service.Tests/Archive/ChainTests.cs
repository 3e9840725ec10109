using Acquire.Service.Archive.Chain;
using Xunit;

namespace Acquire.Service.Tests.Archive;

/// <summary>Digests that must stay what they are for ever: archives hold them.</summary>
public sealed class ChainTests
{
    // Computed apart from the program, with Python's hashlib, from the description in docs/archive.md.
    [Fact]
    public void The_digest_of_a_record_is_as_documented()
    {
        var digest = new RecordDigest().Of(RecordKind.Approval, 1L, 2L, "2026-03-02T09:30:15.1230000Z", "Åsa", 3L);

        Assert.Equal("e3329983fb7bb22fcc2aa3b92d4b99df7cefec2a20eb8ddaa527781a7a951f8d", Convert.ToHexStringLower(digest));
    }

    [Fact]
    public void The_digest_of_a_record_with_numbers_bytes_and_nothing_is_as_documented()
    {
        var chunk = new RecordDigest().Of(RecordKind.Chunk, 1L, 0L, 0L, 2L, -0.0, 0.02, new byte[] { 1, 2, 255 });
        var closing = new RecordDigest().Of(RecordKind.Closing, 1L, "x", "invalid", null, null, "{}");

        Assert.Equal("e5ba6056e809e398bc76d3a308b87059f9377dda4e0d2b3c71c8a0fb42f5158b", Convert.ToHexStringLower(chunk));
        Assert.Equal("65b1368ad57cafe1d29fa502d2ec343072cf1112c515ac7bf5519d47eb071b7a", Convert.ToHexStringLower(closing));
    }

    [Fact]
    public void The_digest_of_a_link_is_as_documented() => Assert.Equal(
        "ff8f1330b7879104b8da78f61e1b16c9cb4a611f90c4f7b7c2c0f27d58784b34",
        Convert.ToHexStringLower(ChainLink.DigestOf(Enumerable.Repeat((byte)7, 32).ToArray(), 5, 3, 1, 12, Enumerable.Repeat((byte)9, 32).ToArray())));

    [Fact]
    public void Nothing_zero_and_empty_are_three_different_things()
    {
        var digest = new RecordDigest();
        string[] digests =
        [
            Convert.ToHexStringLower(digest.Of(RecordKind.Closing, 1L, "", "", null, null, "")),
            Convert.ToHexStringLower(digest.Of(RecordKind.Closing, 1L, "", "", 0.0, null, "")),
            Convert.ToHexStringLower(digest.Of(RecordKind.Closing, 1L, "", "", null, 0.0, "")),
            Convert.ToHexStringLower(digest.Of(RecordKind.Closing, 1L, null, "", null, null, "")),
            Convert.ToHexStringLower(digest.Of(RecordKind.Closing, 1L, "a", "", null, null, "")),
            Convert.ToHexStringLower(digest.Of(RecordKind.Closing, 1L, "", "a", null, null, "")),
        ];

        Assert.Equal(digests.Length, digests.Distinct().Count());
    }

    [Fact]
    public void No_two_kinds_share_a_code() => Assert.Equal(RecordKind.All.Count, RecordKind.All.Select(kind => kind.Code).Distinct().Count());
}
