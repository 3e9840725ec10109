namespace Acquire.Service.Sources.Mqtt;

/// <summary>What tells a reading from all others of its topic.</summary>
/// <param name="Sequence">The tester's count; 0 where there is none.</param>
/// <param name="AtSeconds">Its own time, s.</param>
internal readonly record struct SeenKey(long Sequence, double AtSeconds);

/// <summary>The newest readings in the order in which they came, in a ring of 16 bytes each: hundreds of topics are remembered at once.</summary>
/// <remarks>What is newer than all that is held is not looked for. The rest is, from the newest on: it is rare, and a repetition is of something recent.</remarks>
/// <param name="most">More are never held; the oldest goes.</param>
internal sealed class SeenKeys(int most)
{
    private const int FirstLength = 64;

    private SeenKey[] _ring = new SeenKey[FirstLength];
    private int _oldest;
    private double _latestSeconds = double.NegativeInfinity;

    /// <summary>How many are held.</summary>
    public int Count { get; private set; }

    /// <summary>The one that came first; only where there is one.</summary>
    public SeenKey Oldest => _ring[_oldest];

    /// <summary>Whether it is held.</summary>
    public bool Contains(SeenKey key)
    {
        for (var back = Count - 1; key.AtSeconds <= _latestSeconds && back >= 0; back--)
        {
            if (_ring[(_oldest + back) % _ring.Length] == key)
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>Holds one more.</summary>
    public void Add(SeenKey key)
    {
        if (Count == most)
        {
            DropOldest();
        }

        if (Count == _ring.Length)
        {
            Grow();
        }

        _ring[(_oldest + Count) % _ring.Length] = key;
        Count++;
        _latestSeconds = Math.Max(_latestSeconds, key.AtSeconds);
    }

    /// <summary>Forgets the one that came first; only where there is one.</summary>
    public void DropOldest()
    {
        _oldest = (_oldest + 1) % _ring.Length;
        Count--;
    }

    /// <summary>Forgets all.</summary>
    public void Clear() => (Count, _oldest, _latestSeconds) = (0, 0, double.NegativeInfinity);

    private void Grow()
    {
        var grown = new SeenKey[_ring.Length * 2];
        for (var at = 0; at < Count; at++)
        {
            grown[at] = _ring[(_oldest + at) % _ring.Length];
        }

        (_ring, _oldest) = (grown, 0);
    }
}
