using System.Globalization;

namespace Acquire.Core.Readings;

/// <summary>A recorded run as rows, or what is wrong with it.</summary>
/// <param name="Rows">The rows in file order; empty where there are errors.</param>
/// <param name="HasFlameSignal">Whether the trace has a flame column that is not empty throughout.</param>
/// <param name="Errors">Each with file and line; at most <see cref="TraceReader.MostErrors"/>.</param>
public sealed record Trace(IReadOnlyList<ReadingRow> Rows, bool HasFlameSignal, IReadOnlyList<InputError> Errors);

/// <summary>Reads traces: CSV with a header; columns by name in any order.</summary>
/// <remarks>
/// `time_s` (s), `temperature_c` (°C), `detector` (own unit), optional `flame` (1 while the test flame is over the cup).
/// Other columns are ignored. Separator comma, decimal point. An empty field is a reading that was not made. Any other text
/// that is not a finite number is an error: a trace is evidence, and a damaged one is not judged in part.
/// </remarks>
public static class TraceReader
{
    /// <summary>Reading stops after this many errors.</summary>
    public const int MostErrors = 20;

    private const string Known = "time_s, temperature_c, detector and, optionally, flame";

    /// <summary>Reads a trace.</summary>
    /// <param name="name">Name for error messages, such as the file's name.</param>
    /// <param name="lines">Its lines.</param>
    public static Trace Read(string name, IEnumerable<string> lines)
    {
        ArgumentNullException.ThrowIfNull(lines);
        var errors = new List<InputError>();
        var rows = new List<ReadingRow>();
        TraceColumns? columns = null;
        var number = 0;
        foreach (var line in lines)
        {
            number++;
            if (columns is null)
            {
                columns = TraceColumns.Parse(name, line.TrimStart('\uFEFF'), errors);
                if (columns is null)
                {
                    return new Trace([], false, [.. errors.Take(MostErrors)]);
                }
            }
            else if (!string.IsNullOrWhiteSpace(line) && columns.Row(name, number, line, errors) is { } row)
            {
                rows.Add(row);
            }

            if (errors.Count >= MostErrors)
            {
                break;
            }
        }

        if (columns is null)
        {
            errors.Add(new(name, $"is empty; a trace begins with a header that names {Known}"));
        }
        else if (rows.Count == 0 && errors.Count == 0)
        {
            errors.Add(new(name, "has a header but no readings"));
        }

        return errors.Count > 0 ? new Trace([], false, [.. errors.Take(MostErrors)]) : new Trace(rows, rows.Exists(row => row.Has(RowChannels.Flame)), []);
    }

    private sealed class TraceColumns
    {
        private int _time = -1;
        private int _temperature = -1;
        private int _detector = -1;
        private int _flame = -1;
        private int _count;

        public static TraceColumns? Parse(string name, string header, List<InputError> errors)
        {
            var columns = new TraceColumns();
            var names = header.Split(',');
            columns._count = names.Length;
            for (var i = 0; i < names.Length; i++)
            {
                columns.Place(name, names[i].Trim().Trim('"'), i, errors);
            }

            foreach (var (wanted, index) in new[] { ("time_s", columns._time), ("temperature_c", columns._temperature), ("detector", columns._detector) })
            {
                if (index < 0)
                {
                    var hint = header.Contains(';', StringComparison.Ordinal) ? "; columns are separated by commas, not semicolons" : "";
                    errors.Add(new($"{name}, line 1", $"has no column '{wanted}'; the header names {Known}{hint}"));
                }
            }

            return errors.Count == 0 ? columns : null;
        }

        public ReadingRow? Row(string name, int number, string line, List<InputError> errors)
        {
            var before = errors.Count;
            var fields = line.Split(',');
            if (fields.Length != _count)
            {
                errors.Add(new($"{name}, line {number}", $"has {fields.Length} fields where the header has {_count}"));
                return null;
            }

            var time = Number(name, number, "time_s", fields[_time], -1e9, 1e10, errors);
            var temperature = Number(name, number, "temperature_c", fields[_temperature], ReadingRow.LowestCelsius, ReadingRow.HighestCelsius, errors);
            var detector = Number(name, number, "detector", fields[_detector], double.MinValue, double.MaxValue, errors);
            var flame = _flame < 0 ? null : Number(name, number, "flame", fields[_flame], 0, 1, errors);
            if (time is null && errors.Count == before)
            {
                errors.Add(new($"{name}, line {number}, time_s", "is empty; every row needs its time in seconds"));
            }

            if (errors.Count > before)
            {
                return null;
            }

            var present = (temperature is null ? 0 : RowChannels.Temperature) | (detector is null ? 0 : RowChannels.Detector) | (flame is null ? 0 : RowChannels.Flame);
            return new ReadingRow(time!.Value, present, temperature ?? 0, detector ?? 0, flame >= 0.5);
        }

        private void Place(string name, string column, int index, List<InputError> errors)
        {
            ref var slot = ref _time;
            switch (column)
            {
                case "time_s":
                    break;
                case "temperature_c":
                    slot = ref _temperature;
                    break;
                case "detector":
                    slot = ref _detector;
                    break;
                case "flame":
                    slot = ref _flame;
                    break;
                default:
                    return;
            }

            if (slot >= 0)
            {
                errors.Add(new($"{name}, line 1", $"names the column '{column}' twice"));
            }

            slot = index;
        }

        private static double? Number(string name, int number, string column, string field, double least, double most, List<InputError> errors)
        {
            var text = field.AsSpan().Trim().Trim('"');
            if (text.IsEmpty)
            {
                return null;
            }

            if (!double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out var value) || !double.IsFinite(value))
            {
                errors.Add(new($"{name}, line {number}, {column}", $"'{Shorten(text)}' is not a finite number with a decimal point"));
                return null;
            }

            if (value < least || value > most)
            {
                errors.Add(new($"{name}, line {number}, {column}", string.Create(CultureInfo.InvariantCulture, $"{value} is not within {least} to {most}")));
                return null;
            }

            return value;
        }

        private static string Shorten(ReadOnlySpan<char> text) => text.Length <= 40 ? text.ToString() : string.Concat(text[..40], "…");
    }
}
