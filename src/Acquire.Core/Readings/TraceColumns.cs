using Acquire.Core.Thermometry;

namespace Acquire.Core.Readings;

/// <summary>Where the columns of a trace stand, by its header; and its lines as rows.</summary>
internal sealed class TraceColumns
{
    /// <summary>The columns a trace has, for messages.</summary>
    public const string Known = "time_s, temperature_c, detector and, optionally, second_detector and flame";

    private const string Time = "time_s";
    private const string Temperature = "temperature_c";
    private const string Flame = "flame";
    private const double LargestSignal = 1e9;

    private int _time = -1;
    private int _temperature = -1;
    private int _detector = -1;
    private int _secondDetector = -1;
    private int _flame = -1;
    private int _signal = -1;
    private int _junction = -1;
    private int _marks = -1;
    private readonly int[] _bench = [.. BenchColumns.All.Select(_ => -1)];
    private bool _hasBench;
    private int _count;

    /// <summary>Unit of the thermometer's signal; null where the trace has no column for it.</summary>
    public ThermometerUnit? SignalUnit { get; private set; }

    /// <summary>Whether the trace has a column for the temperature.</summary>
    public bool HasTemperature => _temperature >= 0;

    /// <summary>Whether the trace has a column for the marks of the thermometer readings.</summary>
    public bool HasMarks => _marks >= 0;

    /// <summary>Reads the header; null, with errors, where it is not fit.</summary>
    public static TraceColumns? Parse(string trace, string header, List<InputError> errors)
    {
        var columns = new TraceColumns();
        var names = header.Split(',');
        columns._count = names.Length;
        for (var i = 0; i < names.Length; i++)
        {
            if (columns.Place(names[i].Trim().Trim('"'), i) is { } fault)
            {
                errors.Add(new($"{trace}, line 1", fault));
            }
        }

        foreach (var (wanted, index) in new[] { (Time, columns._time), (Temperature, Math.Max(columns._temperature, columns._signal)), (DetectorColumns.First, columns._detector) })
        {
            if (index < 0)
            {
                errors.Add(new($"{trace}, line 1", Missing(wanted, header)));
            }
        }

        return errors.Count == 0 ? columns : null;
    }

    /// <summary>Reads a line; null, with errors, where it is not fit.</summary>
    public ReadingRow? Row(string trace, int number, string text, List<InputError> errors)
    {
        var before = errors.Count;
        var line = new TraceLine(trace, number, text.Split(','), errors);
        if (line.Fields.Length != _count)
        {
            line.Refuse(null, $"has {line.Fields.Length} fields where the header has {_count}");
            return null;
        }

        var time = line.ValueAt(_time, Time, -1e9, 1e10);
        var temperature = line.ValueAt(_temperature, Temperature, ReadingRow.LowestCelsius, ReadingRow.HighestCelsius);
        var detector = line.ValueAt(_detector, DetectorColumns.First, double.MinValue, double.MaxValue);
        var second = line.ValueAt(_secondDetector, DetectorColumns.Second, double.MinValue, double.MaxValue);
        var flame = line.ValueAt(_flame, Flame, 0, 1);
        var signal = SignalUnit is { } unit ? line.ValueAt(_signal, ThermometerColumns.Signals[unit], -LargestSignal, LargestSignal) : null;
        var junction = line.ValueAt(_junction, ThermometerColumns.Junction, ReadingRow.LowestCelsius, ReadingRow.HighestCelsius);
        var marks = line.MarksAt(_marks, ThermometerColumns.Marks);
        if (time is null && errors.Count == before)
        {
            line.Refuse(Time, "is empty; every row needs its time in seconds");
        }

        var present = If(temperature, RowChannels.Temperature) | If(detector, RowChannels.Detector) | If(second, RowChannels.SecondDetector) | If(flame, RowChannels.Flame) | If(signal, RowChannels.Signal) | If(junction, RowChannels.Junction);
        var row = new ReadingRow(time ?? 0, present, temperature ?? 0, detector ?? 0, flame >= 0.5) { SecondDetector = second ?? 0, Signal = signal ?? 0, JunctionCelsius = junction ?? 0, Marks = marks };
        row = _hasBench ? BenchColumns.Read(line, _bench, row) : row;
        return errors.Count > before ? null : row;
    }

    private static RowChannels If(double? value, RowChannels channel) => value is null ? RowChannels.None : channel;

    private static string Missing(string column, string header)
    {
        var instead = column == Temperature ? $", nor a thermometer's signal instead ({ThermometerColumns.Known})" : "";
        var hint = header.Contains(';', StringComparison.Ordinal) ? "; columns are separated by commas, not semicolons" : "";
        return $"has no column '{column}'{instead}; the header names {Known}{hint}";
    }

    // Remembers where a column stands; says what is wrong with its name. A name that is not known is somebody's note.
    private string? Place(string column, int index)
    {
        switch (column)
        {
            case Time:
                return Take(ref _time, column, index);
            case Temperature:
                return Take(ref _temperature, column, index);
            case DetectorColumns.First:
                return Take(ref _detector, column, index);
            case DetectorColumns.Second:
                return Take(ref _secondDetector, column, index);
            case Flame:
                return Take(ref _flame, column, index);
            case ThermometerColumns.Junction:
                return Take(ref _junction, column, index);
            case ThermometerColumns.Marks:
                return Take(ref _marks, column, index);
            case var _ when BenchColumns.IndexOf(column) is >= 0 and var known:
                _hasBench = true;
                return Take(ref _bench[known], column, index);
            default:
                return ThermometerColumns.UnitOf(column) is { } unit ? TakeSignal(unit, column, index)
                    : ThermometerColumns.Meant(column) is { } meant ? $"names the column '{column}'; '{meant}' has small letters only"
                    : null;
        }
    }

    private static string? Take(ref int slot, string column, int index)
    {
        var fault = slot >= 0 ? $"names the column '{column}' twice" : null;
        slot = index;
        return fault;
    }

    private string? TakeSignal(ThermometerUnit unit, string column, int index)
    {
        if (SignalUnit is { } other && other != unit)
        {
            return $"names two signals of the thermometer, '{ThermometerColumns.Signals[other]}' and '{column}'; a trace has one, as the tester sent it";
        }

        SignalUnit = unit;
        return Take(ref _signal, column, index);
    }
}
