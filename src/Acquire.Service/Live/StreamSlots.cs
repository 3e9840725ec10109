using Microsoft.AspNetCore.SignalR;

namespace Acquire.Service.Live;

/// <summary>Bounds the streams that one connection may hold open, so that no client can multiply its load.</summary>
internal sealed class StreamSlots
{
    /// <summary>Streams one connection may hold.</summary>
    public const int Most = 8;

    private static readonly object Key = new();

    private int _taken;

    /// <summary>The slots of a connection.</summary>
    public static StreamSlots Of(HubCallerContext context)
    {
        lock (context.Items)
        {
            if (context.Items.TryGetValue(Key, out var kept) && kept is StreamSlots slots)
            {
                return slots;
            }

            var made = new StreamSlots();
            context.Items[Key] = made;
            return made;
        }
    }

    /// <summary>Takes a slot; give it back with <see cref="Leave"/>.</summary>
    /// <exception cref="HubException">All are taken.</exception>
    public void Enter()
    {
        if (Interlocked.Increment(ref _taken) > Most)
        {
            Leave();
            throw new HubException($"this connection holds {Most} streams already; end one first");
        }
    }

    /// <summary>Gives a slot back.</summary>
    public void Leave() => Interlocked.Decrement(ref _taken);
}
