using Acquire.Service.Configuration;

namespace Acquire.Service.Sources.Mqtt;

/// <summary>What a reading is, seen from those before it.</summary>
public enum Standing
{
    /// <summary>Newer than all before it, or the first of a new record.</summary>
    InOrder,

    /// <summary>Behind the newest, within the window, and not seen before.</summary>
    Late,

    /// <summary>Seen before.</summary>
    Repeated,
}

/// <summary>Knows which readings of one topic came twice or late, by the tester's count or its time. No IO; thread-safe; memory is bounded.</summary>
/// <remarks>
/// Without an order only what the broker itself calls a repetition is looked up: it repeats what was not acknowledged when a connection broke.
/// </remarks>
/// <param name="order">By what, and how late; null where rows are taken as they come.</param>
public sealed class OrderGate(OrderConfig? order)
{
    /// <summary>How many readings are remembered at most: those within the window for late ones.</summary>
    public const int Remembered = 8192;

    /// <summary>How many are remembered in any case: four times the messages that a broker may have to repeat.</summary>
    public const int RememberedAlways = 1024;

    private readonly Lock _lock = new();
    private readonly SeenKeys _seen = new(Remembered);
    private double _newestSeconds = double.NaN;
    private long _newestSequence = -1;

    /// <summary>Whether readings are told apart one by one; else it is enough to ask for the first of each message, since a broker repeats whole messages.</summary>
    public bool HasOrder => order is not null;

    /// <summary>Judges one reading and remembers it.</summary>
    /// <param name="atSeconds">Its own time, s.</param>
    /// <param name="sequence">Its count; null where there is none.</param>
    /// <param name="repeated">Whether the broker, or the publisher, says that it sent the message before.</param>
    /// <param name="missing">Counts that lie between this one and the newest before it: how many are missing for now. -1 where one of them came after all.</param>
    public Standing Judge(double atSeconds, long? sequence, bool repeated, out long missing)
    {
        lock (_lock)
        {
            missing = 0;
            var key = new SeenKey(order is { BySequence: true } ? sequence ?? 0 : 0, atSeconds);

            // Behind the window the tester has begun anew, and its times say nothing about those before, unless the sender itself says so.
            var anew = order is not null && atSeconds < _newestSeconds - order.LateSeconds;
            if ((repeated || (order is not null && !anew)) && _seen.Contains(key))
            {
                return Standing.Repeated;
            }

            var late = order is not null && !anew && atSeconds <= _newestSeconds;
            if (order is { BySequence: true } && sequence is { } count)
            {
                missing = Count(count, late);
                late &= count < _newestSequence;
            }

            if (!late)
            {
                Forget(anew);
                (_newestSeconds, _newestSequence) = (atSeconds, sequence ?? -1);
            }

            _seen.Add(key);
            return late ? Standing.Late : Standing.InOrder;
        }
    }

    // A count that goes back without being late is that of a tester that started again.
    private long Count(long count, bool late) =>
        _newestSequence >= 0 && count > _newestSequence ? count - _newestSequence - 1 : late && count < _newestSequence ? -1 : 0;

    private void Forget(bool anew)
    {
        if (anew)
        {
            _seen.Clear();
        }

        while (_seen.Count >= RememberedAlways && (order is null || _seen.Oldest.AtSeconds < _newestSeconds - order.LateSeconds))
        {
            _seen.DropOldest();
        }
    }
}
