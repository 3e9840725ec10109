using System.Globalization;
using System.Text;

namespace Acquire.Service.Sources.Capture;

/// <summary>What the wire said in a run, from all of its files: a run that went on after the service had stopped has more than one. One file is given as it is; several are joined to one that is read like any other.</summary>
/// <remarks>
/// The times of a later file are moved on by as much as it was begun later. Where it begins stand `lost` and `opened`, because half a line from before does not belong to what came after.
/// A last line that was cut off, as a kill leaves it, is left out and told, unless it is the end of all.
/// </remarks>
internal sealed class WireParts : IAsyncDisposable
{
    private const string Begun = "# begun ";
    private const int PieceCharacters = 64 * 1024;

    private readonly IReadOnlyList<FileStream> _files;
    private DateTimeOffset? _firstBegun, _begun;
    private long _latest, _offset;
    private bool _anyLine, _awaitsRecord;

    private WireParts(IReadOnlyList<FileStream> files) => _files = files;

    /// <summary>Opens the files that are there; null where none is. Shared with whoever writes or deletes them.</summary>
    /// <exception cref="IOException">One cannot be read.</exception>
    /// <exception cref="UnauthorizedAccessException">One may not be read.</exception>
    public static WireParts? Open(IEnumerable<string> files)
    {
        var open = new List<FileStream>();
        foreach (var file in files)
        {
            try
            {
                open.Add(new(file, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete));
            }
            catch (Exception exception) when (exception is FileNotFoundException or DirectoryNotFoundException)
            {
                // Too old, and deleted since it was looked for.
            }
        }

        return open.Count > 0 ? new(open) : null;
    }

    /// <summary>Writes all of it, as far as it is on the disk.</summary>
    public async Task WriteAsync(Stream target, CancellationToken cancellationToken)
    {
        if (_files is [var only])
        {
            await only.CopyToAsync(target, cancellationToken).ConfigureAwait(false);
            return;
        }

        var writer = new StreamWriter(target, Encoding.Latin1, PieceCharacters, leaveOpen: true);
        await using (writer.ConfigureAwait(false))
        {
            foreach (var (index, file) in _files.Index())
            {
                await JoinAsync(writer, file, isLast: index == _files.Count - 1, cancellationToken).ConfigureAwait(false);
            }
        }
    }

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        foreach (var file in _files)
        {
            await file.DisposeAsync().ConfigureAwait(false);
        }
    }

    private async Task JoinAsync(StreamWriter writer, FileStream file, bool isLast, CancellationToken cancellationToken)
    {
        (_awaitsRecord, _begun) = (_anyLine, null);
        await foreach (var (line, isWhole) in LinesAsync(file, cancellationToken).ConfigureAwait(false))
        {
            var text = !isWhole && !isLast ? "# the last line of this part was cut off in the writing and is left out" : Joined(line);
            if (text is not null)
            {
                await writer.WriteAsync(isWhole || !isLast ? text + "\n" : text).ConfigureAwait(false);
            }
        }
    }

    // Null for the name and version of a file that is not the first.
    private string? Joined(string line)
    {
        var isFirst = !_anyLine;
        _anyLine = true;
        if (line == WireRecord.Header)
        {
            return isFirst ? line : "# the service had stopped; what follows came after the run went on";
        }

        if (line.StartsWith(Begun, StringComparison.Ordinal) && DateTimeOffset.TryParse(line.AsSpan(Begun.Length), CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out var begun))
        {
            _begun ??= begun;
            _firstBegun ??= begun;
        }

        var end = line.IndexOf(' ', StringComparison.Ordinal);
        return end > 0 && long.TryParse(line.AsSpan(0, end), NumberStyles.None, CultureInfo.InvariantCulture, out var at) ? Moved(at, line[end..]) : line;
    }

    private string Moved(long at, string rest)
    {
        var seam = "";
        if (_awaitsRecord)
        {
            // The clock of the computer may have been set back meanwhile: times never go back.
            _offset = Math.Max(_latest, _begun is { } begun && _firstBegun is { } first ? (long)(begun - first).TotalMicroseconds : 0);
            seam = string.Create(CultureInfo.InvariantCulture, $"{_offset} lost the service had stopped\n{(rest == " opened" ? "" : string.Create(CultureInfo.InvariantCulture, $"{_offset} opened\n"))}");
            _awaitsRecord = false;
        }

        _latest = Math.Max(_latest, at + _offset);
        return string.Create(CultureInfo.InvariantCulture, $"{seam}{at + _offset}{rest}");
    }

    private static async IAsyncEnumerable<(string Line, bool IsWhole)> LinesAsync(FileStream file, [System.Runtime.CompilerServices.EnumeratorCancellation] CancellationToken cancellationToken)
    {
        using var reader = new StreamReader(file, Encoding.Latin1, detectEncodingFromByteOrderMarks: false, leaveOpen: true);
        var (piece, line) = (new char[PieceCharacters], new StringBuilder());
        for (int count; (count = await reader.ReadAsync(piece, cancellationToken).ConfigureAwait(false)) > 0;)
        {
            var from = 0;
            for (int end; (end = Array.IndexOf(piece, '\n', from, count - from)) >= 0; from = end + 1)
            {
                yield return (line.Append(piece, from, end - from).ToString(), true);
                line.Clear();
            }

            line.Append(piece, from, count - from);
        }

        if (line.Length > 0)
        {
            yield return (line.ToString(), false);
        }
    }
}
