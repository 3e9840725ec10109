using System.Globalization;
using System.Text;
using Acquire.Core;

namespace Acquire.Service.Sources.Capture;

/// <summary>Reads a file that keeps what went over a wire, strictly: a line that is no record is told with its number. A last line without its end was cut off in the writing: it is left out and told, whatever it holds.</summary>
public static class WireRecordFile
{
    /// <summary>Largest file that is read, bytes: days of a usual tester.</summary>
    public const long LargestBytes = 1L << 28;

    private const int LongestLine = 32 + (4 * WireRecord.MostMessageBytes);
    private const int MostMistakes = 20;

    /// <summary>Reads a file.</summary>
    /// <param name="path">The file.</param>
    /// <param name="records">Its records in order; empty after a mistake.</param>
    /// <param name="errors">The mistakes, at most 20.</param>
    /// <param name="cut">That the last line was cut off and left out; null where the file ends with a whole line.</param>
    public static bool TryRead(string path, out IReadOnlyList<WireRecord> records, out IReadOnlyList<InputError> errors, out InputError? cut)
    {
        (records, cut) = ([], null);
        try
        {
            using var stream = File.OpenRead(path);
            if (stream.Length > LargestBytes)
            {
                errors = [new(path, string.Create(CultureInfo.InvariantCulture, $"the file has {stream.Length} bytes; allowed: up to {LargestBytes}"))];
                return false;
            }

            var isWhole = IsWhole(stream);
            using var reader = new StreamReader(stream, Encoding.Latin1);
            return TryRead(reader, path, isWhole, out records, out errors, out cut);
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            errors = [new(path, $"the file cannot be read: {exception.Message}")];
            return false;
        }
    }

    private static bool IsWhole(FileStream stream)
    {
        if (stream.Length == 0)
        {
            return true;
        }

        stream.Seek(-1, SeekOrigin.End);
        var last = stream.ReadByte();
        stream.Seek(0, SeekOrigin.Begin);
        return last == '\n';
    }

    /// <summary>Reads text.</summary>
    /// <param name="reader">The text.</param>
    /// <param name="name">Its name in mistakes.</param>
    /// <param name="isWhole">Whether its last line has its end.</param>
    /// <param name="records">Its records in order; empty after a mistake.</param>
    /// <param name="errors">The mistakes, at most 20.</param>
    /// <param name="cut">That the last line was cut off and left out; null where the text ends with a whole line.</param>
    public static bool TryRead(TextReader reader, string name, bool isWhole, out IReadOnlyList<WireRecord> records, out IReadOnlyList<InputError> errors, out InputError? cut)
    {
        ArgumentNullException.ThrowIfNull(reader);
        var (lines, number) = (new Lines(name), 0);
        cut = null;
        while (lines.Wrong.Count < MostMistakes && !lines.IsForeign && reader.ReadLine() is { } line)
        {
            if (++number > 1 && !isWhole && reader.Peek() < 0)
            {
                cut = new(lines.Place(number), "this last line was cut off in the writing and is left out; what comes before it is whole");
            }
            else
            {
                lines.Take(line, number);
            }
        }

        if (number == 0)
        {
            lines.Wrong.Add(new(name, $"is empty; allowed: a file that begins with \"{WireRecord.Header}\""));
        }

        (records, errors) = (lines.Wrong.Count == 0 ? lines.Found : [], lines.Wrong);
        return lines.Wrong.Count == 0;
    }

    /// <summary>What the lines so far hold.</summary>
    private sealed class Lines(string name)
    {
        private long _latest;

        public List<WireRecord> Found { get; } = [];

        public List<InputError> Wrong { get; } = [];

        /// <summary>Whether it does not begin as such a file does: the rest says nothing then.</summary>
        public bool IsForeign { get; private set; }

        public string Place(int number) => string.Create(CultureInfo.InvariantCulture, $"{name} line {number}");

        public void Take(string line, int number)
        {
            if (number == 1)
            {
                IsForeign = line != WireRecord.Header;
                if (IsForeign)
                {
                    Wrong.Add(new(Place(1), $"given \"{Configuration.JsonText.Shown(line)}\"; allowed: \"{WireRecord.Header}\", a record of acquire devices record"));
                }
            }
            else if (line.Length > LongestLine)
            {
                Wrong.Add(new(Place(number), string.Create(CultureInfo.InvariantCulture, $"{line.Length} characters; allowed: up to {LongestLine}")));
            }
            else if (line.Length > 0 && line[0] != '#')
            {
                TakeRecord(line, number);
            }
        }

        private void TakeRecord(string line, int number)
        {
            if (!WireRecord.TryParse(line, out var record, out var mistake))
            {
                Wrong.Add(new(Place(number), mistake));
            }
            else if (record.AtMicroseconds < _latest)
            {
                Wrong.Add(new(Place(number), string.Create(CultureInfo.InvariantCulture, $"given {record.AtMicroseconds} µs after {_latest} µs; allowed: times that do not go back")));
            }
            else
            {
                _latest = record.AtMicroseconds;
                Found.Add(record);
            }
        }
    }
}
