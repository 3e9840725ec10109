using System.Globalization;
using Acquire.Core;
using Acquire.Core.Results;
using Acquire.Service.Archive;

namespace Acquire.Service.Live.Api;

/// <summary>Reads which runs are asked for from the query of an address; see docs/api.md.</summary>
internal sealed class RunFilterQuery
{
    private const int DefaultLimit = 50;
    private const int LargestLimit = 500;
    private const int LongestText = 200;
    private const double LowestCelsius = -100;
    private const double HighestCelsius = 1000;

    private static readonly string[] Known = ["tester", "specimen", "method", "verdict", "state", "from", "to", "flashFrom", "flashTo", "fireFrom", "fireTo", "after", "limit"];
    private static readonly string[] TimeForms = ["yyyy-MM-dd", "yyyy-MM-dd'T'HH:mm:ssK", "yyyy-MM-dd'T'HH:mm:ss.FFFFFFFK"];
    private static readonly Dictionary<string, Verdict> Verdicts = Enum.GetValues<Verdict>().ToDictionary(Word, StringComparer.Ordinal);
    private static readonly Dictionary<string, RunStanding> Standings = Enum.GetValues<RunStanding>().ToDictionary(Word, StringComparer.Ordinal);

    private readonly IQueryCollection _query;
    private readonly List<InputError> _errors = [];

    private RunFilterQuery(IQueryCollection query) => _query = query;

    /// <summary>The filter; null, with errors, where the query is none. A parameter without a value is not asked for.</summary>
    public static (RunFilter? Filter, IReadOnlyList<InputError> Errors) Read(IQueryCollection query)
    {
        var reader = new RunFilterQuery(query);
        var filter = reader.Read();
        return reader._errors.Count > 0 ? (null, reader._errors) : (filter, []);
    }

    private RunFilter Read()
    {
        foreach (var (name, values) in _query)
        {
            if (!Known.Contains(name, StringComparer.Ordinal))
            {
                _errors.Add(new(name, $"is not known; known are {string.Join(", ", Known)}"));
            }
            else if (values.Count > 1)
            {
                _errors.Add(new(name, "is given more than once"));
            }
        }

        var filter = new RunFilter
        {
            TesterId = Text("tester"),
            Specimen = Text("specimen"),
            MethodId = Text("method"),
            Verdict = Choice("verdict", Verdicts),
            Standing = Choice("state", Standings),
            StartedFrom = Time("from"),
            StartedBefore = Time("to"),
            FlashFromCelsius = Celsius("flashFrom"),
            FlashToCelsius = Celsius("flashTo"),
            FireFromCelsius = Celsius("fireFrom"),
            FireToCelsius = Celsius("fireTo"),
            After = Text("after"),
            Limit = Limit(),
        };
        Ordered("from", filter.StartedFrom, "to", filter.StartedBefore);
        Ordered("flashFrom", filter.FlashFromCelsius, "flashTo", filter.FlashToCelsius);
        Ordered("fireFrom", filter.FireFromCelsius, "fireTo", filter.FireToCelsius);
        return filter;
    }

    private string? Given(string name) => _query.TryGetValue(name, out var values) && values is [{ Length: > 0 } value] ? value : null;

    private string? Text(string name)
    {
        var text = Given(name);
        if (text?.Length > LongestText)
        {
            _errors.Add(new(name, string.Create(CultureInfo.InvariantCulture, $"has {text.Length} characters; at most {LongestText} are allowed")));
        }

        return text;
    }

    private T? Choice<T>(string name, Dictionary<string, T> words)
        where T : struct
    {
        if (Given(name) is not { } word)
        {
            return null;
        }

        if (words.TryGetValue(word, out var value))
        {
            return value;
        }

        _errors.Add(new(name, $"is none of {string.Join(", ", words.Keys)}"));
        return null;
    }

    // A day is its midnight in UTC, so that from=2026-01-01 and to=2027-01-01 is a year.
    private DateTimeOffset? Time(string name)
    {
        if (Given(name) is not { } text)
        {
            return null;
        }

        if (DateTimeOffset.TryParseExact(text, TimeForms, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal | DateTimeStyles.AdjustToUniversal, out var at))
        {
            return at;
        }

        _errors.Add(new(name, "is not a day such as 2026-03-02, or a time such as 2026-03-02T14:00:00Z"));
        return null;
    }

    private double? Celsius(string name)
    {
        if (Given(name) is not { } text)
        {
            return null;
        }

        if (double.TryParse(text, NumberStyles.AllowLeadingSign | NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var value) && value is >= LowestCelsius and <= HighestCelsius)
        {
            return value;
        }

        _errors.Add(new(name, string.Create(CultureInfo.InvariantCulture, $"is not a number from {LowestCelsius} to {HighestCelsius}, °C")));
        return null;
    }

    private int Limit()
    {
        if (Given("limit") is not { } text)
        {
            return DefaultLimit;
        }

        if (int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var limit) && limit is >= 1 and <= LargestLimit)
        {
            return limit;
        }

        _errors.Add(new("limit", string.Create(CultureInfo.InvariantCulture, $"is not a whole number from 1 to {LargestLimit}")));
        return DefaultLimit;
    }

    private void Ordered<T>(string low, T? from, string high, T? to)
        where T : struct, IComparable<T>
    {
        if (from is { } least && to is { } most && least.CompareTo(most) > 0)
        {
            _errors.Add(new(high, $"lies below {low}"));
        }
    }

    private static string Word<T>(T value)
        where T : struct, Enum => value.ToString().ToLowerInvariant();
}
