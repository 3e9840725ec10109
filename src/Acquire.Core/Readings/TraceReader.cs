using Acquire.Core.Thermometry;

namespace Acquire.Core.Readings;

/// <summary>A recorded run as rows, or what is wrong with it.</summary>
/// <param name="Rows">The rows in file order; empty where there are errors.</param>
/// <param name="HasFlameSignal">Whether the trace has a flame column that is not empty throughout.</param>
/// <param name="Errors">Each with file and line; at most <see cref="TraceReader.MostErrors"/>.</param>
public sealed record Trace(IReadOnlyList<ReadingRow> Rows, bool HasFlameSignal, IReadOnlyList<InputError> Errors)
{
    /// <summary>Unit of the thermometer's signal; null where the trace has no column for it, or errors.</summary>
    public ThermometerUnit? SignalUnit { get; init; }

    /// <summary>Whether the trace has a column for the temperature; false where there are errors.</summary>
    public bool HasTemperature { get; init; }

    /// <summary>Whether the trace has a column for the marks of the thermometer readings; false where there are errors.</summary>
    public bool HasMarks { get; init; }
}

/// <summary>Reads traces: CSV with a header; columns by name in any order.</summary>
/// <remarks>
/// `time_s` (s), `temperature_c` (°C), `detector` (own unit), optional `flame` (1 while the test flame is over the cup)
/// and `second_detector` (own unit), of a tester with two detectors.
/// Optional too: one signal of the thermometer as the tester sent it, `thermometer_` with its unit (see <see cref="ThermometerColumns"/>;
/// -1e9 to 1e9), in place of `temperature_c` or beside it; `junction_c`, the temperature of a thermocouple's reference junction (°C);
/// `thermometer_marks`, what is known against the reading, in <see cref="ReadingMarkWords"/> joined by `+`;
/// and what the tester tells of itself and of the bench, see <see cref="BenchColumns"/>.
/// Other columns are ignored. Separator comma, decimal point. An empty field is a reading that was not made. Any other text
/// that is not a finite number is an error: a trace is evidence, and a damaged one is not judged in part.
/// </remarks>
public static class TraceReader
{
    /// <summary>Reading stops after this many errors.</summary>
    public const int MostErrors = 20;

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

        return Judged(name, columns, rows, errors);
    }

    private static Trace Judged(string name, TraceColumns? columns, List<ReadingRow> rows, List<InputError> errors)
    {
        if (columns is null)
        {
            errors.Add(new(name, $"is empty; a trace begins with a header that names {TraceColumns.Known}"));
        }
        else if (rows.Count == 0 && errors.Count == 0)
        {
            errors.Add(new(name, "has a header but no readings"));
        }

        return errors.Count > 0
            ? new Trace([], false, [.. errors.Take(MostErrors)])
            : new Trace(rows, rows.Exists(row => row.Has(RowChannels.Flame)), []) { SignalUnit = columns!.SignalUnit, HasMarks = columns.HasMarks, HasTemperature = columns.HasTemperature };
    }
}
