using System.Diagnostics.CodeAnalysis;

namespace Acquire.Core.Methods;

/// <summary>The methods that come with the program.</summary>
public static class MethodCatalog
{
    private static readonly Lazy<IReadOnlyList<MethodDefinition>> Loaded = new(Load);

    /// <summary>All methods, by id.</summary>
    public static IReadOnlyList<MethodDefinition> All => Loaded.Value;

    /// <summary>Finds a method by its id.</summary>
    public static bool TryFind(string id, [NotNullWhen(true)] out MethodDefinition? method)
    {
        method = All.FirstOrDefault(candidate => candidate.Id == id);
        return method is not null;
    }

    /// <summary>The error for an id that is not in the catalogue, with the ids that are.</summary>
    public static InputError Unknown(string path, string id) =>
        new(path, $"there is no method '{id}'; known: {string.Join(", ", All.Select(known => known.Id))}");

    private static List<MethodDefinition> Load()
    {
        var assembly = typeof(MethodCatalog).Assembly;
        var methods = new List<MethodDefinition>();
        foreach (var name in assembly.GetManifestResourceNames().Where(name => name.StartsWith("methods/", StringComparison.Ordinal)).Order(StringComparer.Ordinal))
        {
            using var reader = new StreamReader(assembly.GetManifestResourceStream(name)!);
            if (!MethodFile.TryParse(reader.ReadToEnd(), out var method, out var errors))
            {
                throw new InvalidOperationException($"The embedded method {name} is broken: {string.Join("; ", errors)}");
            }

            methods.Add(method);
        }

        return methods;
    }
}
