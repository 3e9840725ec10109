using System.Globalization;
using Acquire.Core;
using Acquire.Service.Configuration;

namespace Acquire.Service.CommandLine.Lagging;

/// <summary>A column to be read from a file.</summary>
/// <param name="Name">Its name in the header.</param>
/// <param name="Least">Lowest value allowed.</param>
/// <param name="Most">Highest value allowed.</param>
internal sealed record WantedColumn(string Name, double Least, double Most);

/// <summary>Columns of numbers from a CSV file with a header. Separator comma, decimal point; what is not asked for is not looked at.</summary>
/// <remarks>Strict: a field that is not a number is an error with its line and column, never skipped. An empty field is a reading that was not made: its row is left out and counted, but the first column asked for, the time, is never empty and always ascends.</remarks>
internal sealed class ColumnFile
{
    /// <summary>Reading stops after this many errors.</summary>
    public const int MostErrors = 20;

    private readonly string _name;
    private readonly IReadOnlyList<WantedColumn> _wanted;
    private readonly List<double>[] _values;
    private readonly List<InputError> _errors = [];
    private int[] _places = [];
    private int _count;
    private double _last = double.NegativeInfinity;

    private ColumnFile(string name, IReadOnlyList<WantedColumn> wanted) =>
        (_name, _wanted, _values) = (name, wanted, [.. wanted.Select(_ => new List<double>())]);

    /// <summary>The columns in the order asked for, row by row; of no use where there are errors.</summary>
    public IReadOnlyList<List<double>> Values => _values;

    /// <summary>Rows left out because a field was empty.</summary>
    public int EmptyRows { get; private set; }

    /// <summary>Each with file, line and column; at most <see cref="MostErrors"/>.</summary>
    public IReadOnlyList<InputError> Errors => _errors;

    /// <summary>The names in a header.</summary>
    public static string[] Header(string line) => [.. line.TrimStart('\uFEFF').Split(',').Select(name => name.Trim().Trim('"'))];

    /// <summary>Reads a file.</summary>
    /// <param name="name">Name for error messages.</param>
    /// <param name="lines">Its lines.</param>
    /// <param name="wanted">Time first.</param>
    /// <param name="from">Rows of an earlier time are left out, s.</param>
    /// <param name="to">Rows of a later time are left out, s.</param>
    public static ColumnFile Read(string name, IEnumerable<string> lines, IReadOnlyList<WantedColumn> wanted, double from, double to)
    {
        var file = new ColumnFile(name, wanted);
        var number = 0;
        foreach (var line in lines)
        {
            number++;
            if (number == 1)
            {
                file.Place(line);
            }
            else if (!string.IsNullOrWhiteSpace(line))
            {
                file.Row(number, line, from, to);
            }

            if (file._errors.Count >= MostErrors || (number == 1 && file._errors.Count > 0))
            {
                break;
            }
        }

        if (number == 0)
        {
            file._errors.Add(new(name, "is empty; it begins with a header that names the columns"));
        }

        return file;
    }

    private void Place(string header)
    {
        var names = Header(header);
        _count = names.Length;
        _places = [.. _wanted.Select(column => Array.IndexOf(names, column.Name))];
        foreach (var (column, place) in _wanted.Zip(_places))
        {
            if (place < 0)
            {
                var hint = header.Contains(';', StringComparison.Ordinal) ? "; columns are separated by commas, not semicolons" : "";
                _errors.Add(new($"{_name}, line 1", $"has no column '{JsonText.Shown(column.Name)}'; it has {JsonText.Shown(string.Join(", ", names))}{hint}"));
            }
            else if (Array.LastIndexOf(names, column.Name) > place)
            {
                _errors.Add(new($"{_name}, line 1", $"names the column '{JsonText.Shown(column.Name)}' twice"));
            }
        }
    }

    private void Row(int number, string line, double from, double to)
    {
        var fields = line.Split(',');
        if (fields.Length != _count)
        {
            _errors.Add(new($"{_name}, line {number}", $"has {fields.Length} fields where the header has {_count}"));
            return;
        }

        var before = _errors.Count;
        var row = new double?[_wanted.Count];
        for (var i = 0; i < row.Length; i++)
        {
            row[i] = Number(number, _wanted[i], fields[_places[i]]);
        }

        if (_errors.Count > before || !Ascends(number, row[0]) || row[0] < from || row[0] > to)
        {
            return;
        }

        if (row.Any(value => value is null))
        {
            EmptyRows++;
            return;
        }

        for (var i = 0; i < row.Length; i++)
        {
            _values[i].Add(row[i]!.Value);
        }
    }

    private bool Ascends(int number, double? time)
    {
        if (time > _last)
        {
            _last = time.Value;
            return true;
        }

        var what = time is null ? "is empty; every row needs its time in seconds" : string.Create(CultureInfo.InvariantCulture, $"{time} s is not later than {_last} s before it");
        _errors.Add(new($"{_name}, line {number}, {JsonText.Shown(_wanted[0].Name)}", what));
        return false;
    }

    private double? Number(int number, WantedColumn column, string field)
    {
        var text = field.AsSpan().Trim().Trim('"');
        if (text.IsEmpty)
        {
            return null;
        }

        var place = $"{_name}, line {number}, {JsonText.Shown(column.Name)}";
        if (!double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out var value) || !double.IsFinite(value))
        {
            _errors.Add(new(place, $"'{JsonText.Shown(text.ToString())}' is not a finite number with a decimal point"));
            return null;
        }

        if (value < column.Least || value > column.Most)
        {
            _errors.Add(new(place, string.Create(CultureInfo.InvariantCulture, $"{value} is not within {column.Least} to {column.Most}")));
            return null;
        }

        return value;
    }
}
