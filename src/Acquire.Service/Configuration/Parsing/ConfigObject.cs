using System.Globalization;
using System.Text.Json;
using Acquire.Core;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>One object of the file, read key by key; every mistake goes into one list and reading goes on.</summary>
/// <remarks>A reader answers with the fallback or a harmless value after a mistake: a file with a mistake is never used.</remarks>
internal sealed class ConfigObject
{
    private readonly Dictionary<string, JsonElement> _values = new(StringComparer.Ordinal);
    private readonly List<string> _asked = [];
    private readonly List<string> _forbidden = [];
    private readonly List<InputError> _errors;
    private readonly string _path;
    private readonly JsonElement _element;

    public ConfigObject(JsonElement element, string path, List<InputError> errors)
    {
        (_element, _path, _errors) = (element, path, errors);
        foreach (var property in element.EnumerateObject())
        {
            var name = JsonText.Name(property) ?? "?";
            if (!_values.TryAdd(name, property.Value))
            {
                Refuse(JsonText.Shown(name), "the key is there twice; allowed: once");
            }
        }
    }

    /// <summary>The object as it is written, so that a later version of the file can be held against it.</summary>
    public JsonElement Written => _element.Clone();

    /// <summary>Path of a key below this object.</summary>
    public string PathOf(string key) => _path.Length == 0 ? key : $"{_path}.{key}";

    /// <summary>Notes a mistake under a key.</summary>
    public void Refuse(string key, string message) => _errors.Add(new(PathOf(key), message));

    /// <summary>Notes a mistake elsewhere in the file, under a path from its root.</summary>
    public void RefuseAt(string path, string message) => _errors.Add(new(path, message));

    /// <summary>Refuses a key that belongs elsewhere, if the file holds it; it is never told to be allowed.</summary>
    public void Forbid(string key, string message)
    {
        if (_values.ContainsKey(key))
        {
            _forbidden.Add(key);
            Refuse(key, message);
        }
    }

    /// <summary>How many mistakes were noted in the whole file so far.</summary>
    public int MistakesSoFar => _errors.Count;

    /// <summary>Whether the file holds the key with anything but null; the key counts as known.</summary>
    public bool Gives(string key) => Ask(key).ValueKind is not (JsonValueKind.Undefined or JsonValueKind.Null);

    /// <summary>Whether the file holds the key; the key counts as known.</summary>
    public bool Has(string key) => Ask(key).ValueKind != JsonValueKind.Undefined;

    /// <summary>Text of 1 to <paramref name="longest"/> characters without control characters. A secret is never repeated in a mistake.</summary>
    public string? Text(string key, string? fallback, int longest, string? allowed = null, bool secret = false)
    {
        allowed ??= $"text of 1 to {longest} characters";
        if (!TryAsk(key, fallback is not null, allowed, out var element))
        {
            return fallback;
        }

        if (element.ValueKind == JsonValueKind.String && JsonText.Value(element) is { } text
            && text.Length >= 1 && text.Length <= longest && !string.IsNullOrWhiteSpace(text) && !text.Any(char.IsControl))
        {
            return text;
        }

        if (secret)
        {
            Refuse(key, $"the value is not repeated here, it may hold a password; allowed: {allowed}");
            return null;
        }

        RefuseValue(key, element, allowed);
        return null;
    }

    /// <summary>A whole number in a range, both ends included.</summary>
    public int Whole(string key, int from, int to, int? fallback)
    {
        var allowed = string.Create(CultureInfo.InvariantCulture, $"a whole number from {from} to {to}");
        if (!TryAsk(key, fallback is not null, allowed, out var element))
        {
            return fallback ?? from;
        }

        if (element.ValueKind == JsonValueKind.Number && element.TryGetInt32(out var value) && value >= from && value <= to)
        {
            return value;
        }

        RefuseValue(key, element, allowed);
        return fallback ?? from;
    }

    /// <summary>A number in a range, both ends included; null where the key is missing and may be, or is null.</summary>
    public double? Number(string key, double from, double to, string unit, bool optional)
    {
        var allowed = string.Create(CultureInfo.InvariantCulture, $"a number from {from} to {to} {unit}");
        if (!TryAsk(key, optional, allowed, out var element) || (optional && element.ValueKind == JsonValueKind.Null))
        {
            return null;
        }

        if (element.ValueKind == JsonValueKind.Number && element.TryGetDouble(out var value) && value >= from && value <= to)
        {
            return value;
        }

        RefuseValue(key, element, allowed);
        return null;
    }

    /// <summary>True or false; false where the key is missing.</summary>
    public bool Flag(string key)
    {
        if (!TryAsk(key, true, "true or false", out var element))
        {
            return false;
        }

        if (element.ValueKind is not (JsonValueKind.True or JsonValueKind.False))
        {
            RefuseValue(key, element, "true or false");
        }

        return element.ValueKind == JsonValueKind.True;
    }

    /// <summary>A day written as 2026-03-02; null after a mistake.</summary>
    public DateOnly? Day(string key)
    {
        const string Allowed = "a day such as \"2026-03-02\"";
        if (!TryAsk(key, false, Allowed, out var element))
        {
            return null;
        }

        var text = element.ValueKind == JsonValueKind.String ? JsonText.Value(element) : null;
        if (DateOnly.TryParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var day))
        {
            return day;
        }

        RefuseValue(key, element, Allowed);
        return null;
    }

    /// <summary>One of a few words; null where the key is missing or null, and after a mistake.</summary>
    public T? Choice<T>(string key, IReadOnlyDictionary<string, T> words)
        where T : struct => Gives(key) && TryChoice(key, words, null, out var value) ? value : null;

    /// <summary>One of a few words; <paramref name="value"/> is the default of its type after a mistake.</summary>
    /// <param name="key">The key.</param>
    /// <param name="words">The words, as they are told to be allowed.</param>
    /// <param name="fallback">The word for a missing key; null where it must be there.</param>
    /// <param name="value">What the word means.</param>
    /// <param name="canonical">Turns other ways to write a word, which are understood but not told, into the word.</param>
    public bool TryChoice<T>(string key, IReadOnlyDictionary<string, T> words, string? fallback, out T value, Func<string, string>? canonical = null)
        where T : struct
    {
        value = fallback is null ? default : words[fallback];
        var allowed = "one of " + string.Join(", ", words.Keys.Select(word => JsonSerializer.Serialize(word)));
        if (!TryAsk(key, fallback is not null, allowed, out var element))
        {
            return fallback is not null;
        }

        var given = element.ValueKind == JsonValueKind.String ? JsonText.Value(element) : null;
        if (given is not null && words.TryGetValue(canonical?.Invoke(given) ?? given, out value))
        {
            return true;
        }

        var nearest = given is null ? null : NearestKey.Find(given, words.Keys.Where(word => word.Length > 1));
        RefuseValue(key, element, allowed + (nearest is null ? "" : $"; did you mean \"{nearest}\"?"));
        return false;
    }

    /// <summary>An object below this one; null where it is no object, or missing or null and may be.</summary>
    public ConfigObject? Section(string key, bool optional)
    {
        if (!TryAsk(key, optional, "an object", out var element) || (optional && element.ValueKind == JsonValueKind.Null))
        {
            return null;
        }

        if (element.ValueKind == JsonValueKind.Object)
        {
            return new(element, PathOf(key), _errors);
        }

        RefuseValue(key, element, "an object");
        return null;
    }

    /// <summary>A list of objects; those that are none are reported and left out.</summary>
    public IReadOnlyList<ConfigObject> Sections(string key, int fewest, int most)
    {
        var allowed = fewest == most ? $"a list of {most} objects" : $"a list of {fewest} to {most} objects";
        if (!TryAsk(key, fewest == 0, allowed, out var element))
        {
            return [];
        }

        if (element.ValueKind != JsonValueKind.Array || element.GetArrayLength() < fewest || element.GetArrayLength() > most)
        {
            RefuseValue(key, element, allowed);
            return [];
        }

        var sections = new List<ConfigObject>();
        foreach (var (index, item) in element.EnumerateArray().Index())
        {
            var path = string.Create(CultureInfo.InvariantCulture, $"{key}[{index}]");
            if (item.ValueKind == JsonValueKind.Object)
            {
                sections.Add(new(item, PathOf(path), _errors));
                continue;
            }

            RefuseValue(path, item, "an object");
        }

        return sections;
    }

    /// <summary>A list of texts, as <see cref="Text"/> reads each; empty where the key is missing, those with a mistake left out.</summary>
    public IReadOnlyList<string> Texts(string key, int most, int longest, string allowed)
    {
        if (!TryAsk(key, true, "a list", out var element))
        {
            return [];
        }

        if (element.ValueKind != JsonValueKind.Array || element.GetArrayLength() > most)
        {
            RefuseValue(key, element, $"a list of 0 to {most}: {allowed}");
            return [];
        }

        var texts = new List<string>();
        foreach (var (index, item) in element.EnumerateArray().Index())
        {
            var text = item.ValueKind == JsonValueKind.String ? JsonText.Value(item) : null;
            if (text is { Length: >= 1 } && text.Length <= longest && !text.Any(char.IsControl))
            {
                texts.Add(text);
                continue;
            }

            RefuseValue(string.Create(CultureInfo.InvariantCulture, $"{key}[{index}]"), item, allowed);
        }

        return texts;
    }

    /// <summary>A list of different names of persons; empty where the key is missing.</summary>
    public IReadOnlyList<string> Names(string key, int most)
    {
        var allowed = string.Create(CultureInfo.InvariantCulture, $"a list of up to {most} names, each once and of {PersonName.Allowed}");
        if (!TryAsk(key, true, allowed, out var element))
        {
            return [];
        }

        var names = element.ValueKind != JsonValueKind.Array || element.GetArrayLength() > most ? null
            : element.EnumerateArray().Select(item => item.ValueKind == JsonValueKind.String ? JsonText.Value(item) : null).ToArray();
        if (names is null || names.Any(name => name is null || PersonName.WhyNot(name) is not null) || names.Distinct(StringComparer.Ordinal).Count() < names.Length)
        {
            RefuseValue(key, element, allowed);
            return [];
        }

        return names!;
    }

    /// <summary>Reports every key that nobody asked for, with the one that was probably meant.</summary>
    public void RefuseUnknownKeys()
    {
        foreach (var key in _values.Keys.Except(_asked, StringComparer.Ordinal).Except(_forbidden, StringComparer.Ordinal))
        {
            var nearest = NearestKey.Find(key, _asked);
            Refuse(JsonText.Shown(key), $"there is no such key{(nearest is null ? "." : $"; did you mean \"{nearest}\"?")} Allowed here: {string.Join(", ", _asked)}");
        }
    }

    private bool TryAsk(string key, bool optional, string allowed, out JsonElement element)
    {
        element = Ask(key);
        if (element.ValueKind != JsonValueKind.Undefined)
        {
            return true;
        }

        if (!optional)
        {
            Refuse(key, $"is missing; allowed: {allowed}");
        }

        return false;
    }

    private JsonElement Ask(string key)
    {
        if (!_asked.Contains(key, StringComparer.Ordinal))
        {
            _asked.Add(key);
        }

        return _values.GetValueOrDefault(key);
    }

    private void RefuseValue(string key, JsonElement element, string allowed) => Refuse(key, $"given {JsonText.Shown(element)}; allowed: {allowed}");
}
