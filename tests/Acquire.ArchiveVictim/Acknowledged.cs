using System.Globalization;
using Acquire.Service.Archive.Chain;

namespace Acquire.ArchiveVictim;

/// <summary>What a victim has said was acknowledged, over all its lives.</summary>
public sealed class Acknowledged
{
    private readonly Dictionary<string, Run> _runs = new(StringComparer.Ordinal);

    /// <summary>Each run that was spoken of.</summary>
    public IReadOnlyDictionary<string, Run> Runs => _runs;

    /// <summary>The newest head that was handed out; null before the first.</summary>
    public ArchiveHead? Head { get; private set; }

    /// <summary>Takes a line; one that the kill has cut short says nothing.</summary>
    public void Take(string line)
    {
        var words = line.Split(' ');
        if (words is not [var what, .., "."])
        {
            return;
        }

        if (words is ["head", var archive, var link, var digest, _])
        {
            Head = new(archive, long.Parse(link, CultureInfo.InvariantCulture), Convert.FromHexString(digest), null);
            return;
        }

        var run = _runs.TryGetValue(words[1], out var known) ? known : new Run();
        _runs[words[1]] = what switch
        {
            "rows" => run with { Rows = Math.Max(run.Rows, long.Parse(words[2], CultureInfo.InvariantCulture)) },
            "facts" => run with { Facts = Math.Max(run.Facts, int.Parse(words[2], CultureInfo.InvariantCulture)) },
            "seen" => run with { Seen = run.Seen + 1 },
            "closed" => run with { Closed = true },
            _ => run,
        };
    }

    /// <summary>A copy as of now.</summary>
    public Acknowledged Copy()
    {
        var copy = new Acknowledged { Head = Head };
        foreach (var (id, run) in _runs)
        {
            copy._runs[id] = run;
        }

        return copy;
    }

    /// <summary>What of one run.</summary>
    public sealed record Run
    {
        /// <summary>Rows.</summary>
        public long Rows { get; init; }

        /// <summary>Facts that were announced.</summary>
        public int Facts { get; init; }

        /// <summary>Observations that were answered.</summary>
        public int Seen { get; init; }

        /// <summary>Whether its end was answered.</summary>
        public bool Closed { get; init; }
    }
}
