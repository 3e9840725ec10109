using System.Diagnostics.CodeAnalysis;

namespace Acquire.Core.Methods;

/// <summary>The methods that a service or a command knows: those that come with the program, and those of the laboratory.</summary>
public sealed class MethodSet
{
    private readonly Dictionary<string, MethodDefinition> _byId;

    private MethodSet(IReadOnlyList<MethodDefinition> all)
    {
        All = all;
        _byId = all.ToDictionary(method => method.Id, StringComparer.Ordinal);
    }

    /// <summary>Only the methods that come with the program.</summary>
    public static MethodSet Embedded { get; } = new(MethodCatalog.All);

    /// <summary>All methods: first those that come with the program, then those of the laboratory in the order of their files.</summary>
    public IReadOnlyList<MethodDefinition> All { get; }

    /// <summary>Adds the laboratory's own methods to those that come with the program.</summary>
    /// <param name="files">Name and text of each file.</param>
    /// <param name="methods">All methods; null after a mistake in any file.</param>
    /// <param name="errors">Every mistake, its path begun with the file's name.</param>
    public static bool TryMake(IEnumerable<(string Name, string Text)> files, [NotNullWhen(true)] out MethodSet? methods, out IReadOnlyList<InputError> errors)
    {
        ArgumentNullException.ThrowIfNull(files);
        var all = new List<MethodDefinition>(MethodCatalog.All);
        var owners = all.ToDictionary(method => method.Id, _ => "a method that comes with the program", StringComparer.Ordinal);
        var found = new List<InputError>();
        foreach (var (name, text) in files)
        {
            if (!MethodFile.TryParse(text, out var method, out var mistakes))
            {
                found.AddRange(mistakes.Select(mistake => mistake with { Path = $"{name}: {mistake.Path}" }));
            }
            else if (!owners.TryAdd(method.Id, name))
            {
                found.Add(new($"{name}: id", $"'{method.Id}' belongs to {owners[method.Id]}; give this method an id of its own"));
            }
            else
            {
                all.Add(method);
            }
        }

        errors = found;
        methods = found.Count == 0 ? new(all) : null;
        return methods is not null;
    }

    /// <summary>Finds a method by its id.</summary>
    public bool TryFind(string id, [NotNullWhen(true)] out MethodDefinition? method) => _byId.TryGetValue(id, out method);

    /// <summary>The error for an id that is not in the set, with the ids that are.</summary>
    public InputError Unknown(string path, string id) =>
        new(path, $"there is no method '{id}'; known: {string.Join(", ", All.Select(known => known.Id))}");
}
