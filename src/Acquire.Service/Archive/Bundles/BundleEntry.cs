using System.IO.Compression;
using System.IO.Hashing;

namespace Acquire.Service.Archive.Bundles;

/// <summary>One file in a bundle, as it lies there.</summary>
/// <param name="Name">Its name; plain ASCII, no folder.</param>
/// <param name="Deflated">Whether it is packed by deflate (RFC 1951); else it lies there as it is.</param>
/// <param name="Packed">Its bytes as they lie there.</param>
/// <param name="Length">Bytes of the file itself.</param>
/// <param name="Checksum">CRC-32 of the file itself.</param>
internal sealed record BundleEntry(string Name, bool Deflated, ReadOnlyMemory<byte> Packed, int Length, uint Checksum)
{
    /// <summary>A file as it is.</summary>
    public static BundleEntry Stored(string name, byte[] content) => new(name, false, content, content.Length, Crc32.HashToUInt32(content));

    /// <summary>A file packed by deflate.</summary>
    public static BundleEntry Packing(string name, byte[] content)
    {
        using var packed = new MemoryStream();
        using (var deflate = new DeflateStream(packed, CompressionLevel.Optimal, leaveOpen: true))
        {
            deflate.Write(content);
        }

        return new(name, true, packed.ToArray(), content.Length, Crc32.HashToUInt32(content));
    }

    /// <summary>The file itself; null, with what is wrong, where it does not unpack to what it says. Never unpacks more than <see cref="Length"/>.</summary>
    public byte[]? Content(out string? fault)
    {
        fault = null;
        var content = Deflated ? Inflate() : Packed.ToArray();
        if (content is null || content.Length != Length)
        {
            fault = $"{Name} does not unpack to the {Length} bytes that it says";
            return null;
        }

        if (Crc32.HashToUInt32(content) != Checksum)
        {
            fault = $"{Name} is not what its checksum says";
            return null;
        }

        return content;
    }

    private byte[]? Inflate()
    {
        var content = new byte[Length];
        using var deflate = new DeflateStream(new MemoryStream(Packed.ToArray()), CompressionMode.Decompress);
        try
        {
            return deflate.ReadAtLeast(content, Length, throwOnEndOfStream: false) == Length && deflate.ReadByte() < 0 ? content : null;
        }
        catch (InvalidDataException)
        {
            return null;
        }
    }
}
