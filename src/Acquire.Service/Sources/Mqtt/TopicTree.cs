namespace Acquire.Service.Sources.Mqtt;

/// <summary>Topic filters as a tree of levels, so that a topic finds all filters it matches in one walk (MQTT 5.0 section 4.7).</summary>
/// <typeparam name="T">What is kept under a filter.</typeparam>
public sealed class TopicTree<T>
{
    private readonly Level _root = new();

    /// <summary>Keeps a value under a filter that <see cref="TopicFilter.Check"/> accepts.</summary>
    public void Add(string filter, T value)
    {
        ArgumentNullException.ThrowIfNull(filter);
        var level = _root;
        foreach (var name in filter.Split('/'))
        {
            if (name == "#")
            {
                level.Below.Add(value);
                return;
            }

            level = level.Child(name);
        }

        level.Here.Add(value);
    }

    /// <summary>Adds the values of every filter that the topic matches.</summary>
    public void Match(ReadOnlySpan<char> topic, ICollection<T> matches) => Match(_root, topic, ended: false, first: true, matches);

    private static void Match(Level level, ReadOnlySpan<char> rest, bool ended, bool first, ICollection<T> matches)
    {
        // Topics of the broker itself begin with $ and are never meant by a wildcard.
        var reserved = first && rest.StartsWith('$');
        if (!reserved)
        {
            AddTo(matches, level.Below);
        }

        if (ended)
        {
            AddTo(matches, level.Here);
            return;
        }

        var slash = rest.IndexOf('/');
        var name = slash < 0 ? rest : rest[..slash];
        var next = slash < 0 ? default : rest[(slash + 1)..];
        if (level.TryChild(name, out var child))
        {
            Match(child, next, slash < 0, false, matches);
        }

        // The name of a topic cannot be a wildcard, so this is another child than the one above.
        if (!reserved && level.TryChild("+", out var any) && !ReferenceEquals(any, child))
        {
            Match(any, next, slash < 0, false, matches);
        }
    }

    // Once for each message: no delegate is made for it.
    private static void AddTo(ICollection<T> matches, List<T> values)
    {
        foreach (var value in values)
        {
            matches.Add(value);
        }
    }

    private sealed class Level
    {
        private readonly Dictionary<string, Level> _children = new(StringComparer.Ordinal);

        public List<T> Here { get; } = [];

        public List<T> Below { get; } = [];

        public Level Child(string name)
        {
            if (!_children.TryGetValue(name, out var child))
            {
                _children.Add(name, child = new());
            }

            return child;
        }

        public bool TryChild(ReadOnlySpan<char> name, [System.Diagnostics.CodeAnalysis.NotNullWhen(true)] out Level? child) =>
            _children.GetAlternateLookup<ReadOnlySpan<char>>().TryGetValue(name, out child);
    }
}
