using System.Globalization;

namespace Acquire.Service.Sources.Mqtt;

/// <summary>How often a refusal is said: the first of its kind at once, the same again once a minute at most, with how many were left out. Whoever is refused again and again does not fill the log. Thread-safe, and bounded whatever comes.</summary>
internal sealed class RefusalPace(TimeProvider time)
{
    /// <summary>From one time to the next that the same is said.</summary>
    public static readonly TimeSpan Between = TimeSpan.FromMinutes(1);

    /// <summary>Refusals that are told apart; beyond, all others are one.</summary>
    public const int MostKinds = 256;

    private readonly Lock _lock = new();
    private readonly Dictionary<string, (long At, long LeftOut)> _said = new(StringComparer.Ordinal);

    /// <summary>Whether it is to be said now.</summary>
    /// <param name="refusal">What makes two refusals the same.</param>
    /// <param name="leftOut">What is to be said of those before it that were not; empty where there were none.</param>
    public bool IsDue(string refusal, out string leftOut)
    {
        lock (_lock)
        {
            var now = time.GetTimestamp();
            var kind = Kind(refusal, now);
            var known = _said.TryGetValue(kind, out var said);
            if (known && time.GetElapsedTime(said.At, now) < Between)
            {
                _said[kind] = said with { LeftOut = said.LeftOut + 1 };
                leftOut = "";
                return false;
            }

            _said[kind] = (now, 0);
            leftOut = said.LeftOut == 0 ? "" : string.Create(CultureInfo.InvariantCulture, $" ({said.LeftOut} more {(kind.Length > 0 ? "like this" : "refusals of any kind")} were not logged since)");
            return true;
        }
    }

    private string Kind(string refusal, long now)
    {
        if (_said.Count < MostKinds || _said.ContainsKey(refusal))
        {
            return refusal;
        }

        foreach (var (kind, said) in _said)
        {
            if (said.LeftOut == 0 && time.GetElapsedTime(said.At, now) >= Between)
            {
                _said.Remove(kind);
            }
        }

        return _said.Count < MostKinds ? refusal : "";
    }
}
