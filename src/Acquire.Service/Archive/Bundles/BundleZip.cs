using System.Buffers;
using System.Buffers.Binary;
using System.Text;

namespace Acquire.Service.Archive.Bundles;

/// <summary>The container of a bundle: a ZIP file of which no byte is free.</summary>
/// <remarks>
/// Any ZIP program opens it. In return this one reads only what it would have written: each header twice the same, no date, no attribute,
/// no comment, no extra field, nothing before, between or behind. So a changed byte cannot hide in a place at which nobody looks.
/// </remarks>
internal static class BundleZip
{
    private const uint LocalMark = 0x04034b50;
    private const uint CentralMark = 0x02014b50;
    private const uint EndMark = 0x06054b50;
    private const ushort VersionNeeded = 20;

    // The earliest day that the format can tell, 1980-01-01: a date would say when the file was made, which is in the manifest.
    private const ushort NoDate = 0x0021;
    private const int LocalBytes = 30;
    private const int LongestName = 40;

    /// <summary>The whole file.</summary>
    public static byte[] Write(IReadOnlyList<BundleEntry> entries)
    {
        var file = new ArrayBufferWriter<byte>();
        var offsets = new List<int>();
        foreach (var entry in entries)
        {
            offsets.Add(file.WrittenCount);
            Mark(file, LocalMark);
            Header(file, entry);
            file.Write(Encoding.ASCII.GetBytes(entry.Name));
            file.Write(entry.Packed.Span);
        }

        var directory = file.WrittenCount;
        for (var i = 0; i < entries.Count; i++)
        {
            Mark(file, CentralMark);
            Short(file, VersionNeeded);
            Header(file, entries[i]);
            Short(file, 0); // comment
            Short(file, 0); // disk
            Short(file, 0); // internal attributes
            Mark(file, 0); // external attributes
            Mark(file, (uint)offsets[i]);
            file.Write(Encoding.ASCII.GetBytes(entries[i].Name));
        }

        var directoryBytes = file.WrittenCount - directory;
        Mark(file, EndMark);
        Mark(file, 0); // disks
        Short(file, (ushort)entries.Count);
        Short(file, (ushort)entries.Count);
        Mark(file, (uint)directoryBytes);
        Mark(file, (uint)directory);
        Short(file, 0); // comment
        return file.WrittenSpan.ToArray();
    }

    /// <summary>Takes a file apart; nothing is unpacked. Null, with what is wrong, where <see cref="Write"/> would not have written it so.</summary>
    /// <param name="file">The whole file.</param>
    /// <param name="known">The names that may stand in it, in their order; each once at most.</param>
    /// <param name="fault">What is wrong.</param>
    public static List<BundleEntry>? TryRead(ReadOnlyMemory<byte> file, IReadOnlyList<string> known, out string? fault)
    {
        var (entries, at, next) = (new List<BundleEntry>(), 0, 0);
        while (file.Length - at >= LocalBytes && BinaryPrimitives.ReadUInt32LittleEndian(file.Span[at..]) == LocalMark)
        {
            if (ReadEntry(file, ref at) is not { } entry)
            {
                fault = $"it is cut off or damaged at byte {at}";
                return null;
            }

            while (next < known.Count && known[next] != entry.Name)
            {
                next++;
            }

            if (next++ == known.Count)
            {
                fault = "it holds a file that does not belong there, twice, or in another order";
                return null;
            }

            entries.Add(entry);
        }

        // The whole file as it must be: every byte that was not looked at above is compared here.
        fault = entries.Count > 0 && file.Span.SequenceEqual(Write(entries)) ? null : "it is no bundle, is cut off, or was changed in its headers";
        return fault is null ? entries : null;
    }

    // Null where it does not fit into the file; what its header says beside that is compared later.
    private static BundleEntry? ReadEntry(ReadOnlyMemory<byte> file, ref int at)
    {
        var header = file.Span.Slice(at, LocalBytes);
        var (checksum, packed, length) = (BinaryPrimitives.ReadUInt32LittleEndian(header[14..]), BinaryPrimitives.ReadUInt32LittleEndian(header[18..]), BinaryPrimitives.ReadUInt32LittleEndian(header[22..]));
        var name = BinaryPrimitives.ReadUInt16LittleEndian(header[26..]);
        if (name > LongestName || packed > int.MaxValue || length > int.MaxValue || at + (long)LocalBytes + name + packed > file.Length)
        {
            return null;
        }

        at += LocalBytes;
        var entry = new BundleEntry(Encoding.ASCII.GetString(file.Span.Slice(at, name)), header[8] != 0, file.Slice(at + name, (int)packed), (int)length, checksum);
        at += name + (int)packed;
        return entry;
    }

    // What stands in both headers of an entry, in the same order.
    private static void Header(ArrayBufferWriter<byte> file, BundleEntry entry)
    {
        Short(file, VersionNeeded);
        Short(file, 0); // flags
        Short(file, (ushort)(entry.Deflated ? 8 : 0));
        Short(file, 0); // time
        Short(file, NoDate);
        Mark(file, entry.Checksum);
        Mark(file, (uint)entry.Packed.Length);
        Mark(file, (uint)entry.Length);
        Short(file, (ushort)entry.Name.Length);
        Short(file, 0); // extra field
    }

    private static void Mark(ArrayBufferWriter<byte> file, uint value)
    {
        BinaryPrimitives.WriteUInt32LittleEndian(file.GetSpan(4), value);
        file.Advance(4);
    }

    private static void Short(ArrayBufferWriter<byte> file, ushort value)
    {
        BinaryPrimitives.WriteUInt16LittleEndian(file.GetSpan(2), value);
        file.Advance(2);
    }
}
