using System.Text.Json;
using System.Text.Json.Serialization.Metadata;

namespace Acquire.Core.Methods.Reading;

/// <summary>Compares a file with what the reader knows, key by key, so that all mistakes are told at once.</summary>
internal sealed class MethodShape(JsonSerializerOptions options, List<InputError> found)
{
    /// <summary>Names the schema for an editor; allowed in the outermost object, and no part of the method.</summary>
    public const string SchemaKey = "$schema";

    /// <summary>Whether the reader can read the file: nothing is missing and nothing is of another type. Keys too many do not hinder it.</summary>
    public bool Readable { get; private set; } = true;

    /// <summary>Compares a whole file.</summary>
    public void Check(JsonElement root) => Check(root, typeof(MethodDefinition), "$");

    /// <summary>The keys that the reader takes, and whether they must be there.</summary>
    public static IEnumerable<(JsonPropertyInfo Property, bool Required)> Keys(JsonTypeInfo type) => type.Properties
        .Where(known => known.Set is not null || known.AssociatedParameter is not null)
        .Select(known => (known, known.IsRequired || known.AssociatedParameter is { HasDefaultValue: false }));

    private void Check(JsonElement value, Type type, string path)
    {
        var wanted = Nullable.GetUnderlyingType(type) ?? type;
        if (wanted == typeof(double))
        {
            Kind(value, path, "a number", JsonValueKind.Number);
            TooLarge(value, path);
        }
        else if (wanted == typeof(bool))
        {
            Kind(value, path, "true or false", JsonValueKind.True, JsonValueKind.False);
        }
        else if (wanted == typeof(string) || wanted.IsEnum)
        {
            Word(value, wanted, path);
        }
        else if (options.GetTypeInfo(wanted) is { Kind: JsonTypeInfoKind.Enumerable, ElementType: { } element })
        {
            List(value, element, path);
        }
        else
        {
            Object(value, options.GetTypeInfo(wanted), path);
        }
    }

    private void Object(JsonElement value, JsonTypeInfo type, string path)
    {
        if (!Kind(value, path, "an object", JsonValueKind.Object))
        {
            return;
        }

        var keys = Keys(type).ToArray();
        var seen = new HashSet<string>(StringComparer.Ordinal);
        foreach (var given in value.EnumerateObject())
        {
            var name = Name(given);
            var below = path == "$" ? name ?? "$" : $"{path}.{name}";
            if (path == "$" && name == SchemaKey)
            {
                Kind(given.Value, below, "a text", JsonValueKind.String);
            }
            else if (name is null || keys.FirstOrDefault(known => known.Property.Name == name).Property is not { } property)
            {
                found.Add(new(below, $"there is no such key. Allowed here: {string.Join(", ", keys.Select(known => known.Property.Name))}"));
            }
            else if (!seen.Add(name))
            {
                found.Add(new(below, "the key is there twice; allowed: once"));
            }
            else if (given.Value.ValueKind != JsonValueKind.Null || !property.IsSetNullable)
            {
                Check(given.Value, property.PropertyType, below);
            }
        }

        foreach (var (missing, _) in keys.Where(known => known.Required && !seen.Contains(known.Property.Name)))
        {
            Hinder(path == "$" ? missing.Name : $"{path}.{missing.Name}", "is missing");
        }
    }

    private void List(JsonElement value, Type element, string path)
    {
        if (!Kind(value, path, "a list", JsonValueKind.Array))
        {
            return;
        }

        foreach (var (index, item) in value.EnumerateArray().Index())
        {
            Check(item, element, MethodErrors.Entry(path, index));
        }
    }

    private void Word(JsonElement value, Type type, string path)
    {
        var words = type.IsEnum ? Enum.GetNames(type).Select(JsonNamingPolicy.KebabCaseLower.ConvertName).ToArray() : null;
        var allowed = words is null ? "a text" : "one of " + string.Join(", ", words);
        if (!Kind(value, path, allowed, JsonValueKind.String))
        {
            return;
        }

        if (Text(value) is not { } text)
        {
            Hinder(path, "holds half of a character; allowed: whole text");
        }
        else if (words is not null && !words.Contains(text, StringComparer.Ordinal))
        {
            Hinder(path, $"given another word; allowed: {allowed}");
        }
    }

    private bool Kind(JsonElement value, string path, string allowed, params ReadOnlySpan<JsonValueKind> kinds)
    {
        if (kinds.Contains(value.ValueKind))
        {
            return true;
        }

        Hinder(path, $"given {Shown(value.ValueKind)}; allowed: {allowed}");
        return false;
    }

    private void Hinder(string path, string message)
    {
        Readable = false;
        found.Add(new(path, message));
    }

    private void TooLarge(JsonElement value, string path)
    {
        if (value.ValueKind == JsonValueKind.Number && !(value.TryGetDouble(out var number) && double.IsFinite(number)))
        {
            Hinder(path, "is a number that no figure of a method can be");
        }
    }

    private static string Shown(JsonValueKind kind) => kind switch
    {
        JsonValueKind.Object => "an object",
        JsonValueKind.Array => "a list",
        JsonValueKind.String => "a text",
        JsonValueKind.Number => "a number",
        JsonValueKind.Null => "null",
        _ => "true or false",
    };

    // The library refuses escapes of half a character with an exception.
    private static string? Name(JsonProperty property)
    {
        try
        {
            return property.Name;
        }
        catch (InvalidOperationException)
        {
            return null;
        }
    }

    private static string? Text(JsonElement element)
    {
        try
        {
            return element.GetString();
        }
        catch (InvalidOperationException)
        {
            return null;
        }
    }
}
