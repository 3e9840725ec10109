using System.Diagnostics;

namespace Acquire.Benchmarks.Campaigns.Load;

/// <summary>Publishes as fast as a reader is done with what it got: never more than a window of messages is on its way, so that nothing piles up anywhere.</summary>
internal static class SaturatedPublisher
{
    /// <summary>Messages on their way at most: about a second's worth, more than what waits for the next commit and the next word of the reader.</summary>
    public const int Window = 200_000;

    private const int Batch = 20;
    private const int Threads = 2;
    private const double StepSeconds = 0.1;

    /// <summary>Publishes for some time; returns the number of messages, and the part of the time in which the rate is taken.</summary>
    /// <param name="wires">The testers.</param>
    /// <param name="done">What the reader is done with, from 0 on.</param>
    /// <param name="seconds">For how long, s.</param>
    /// <param name="timeAxisStart">The testers' time at the first message, s; each reading is a tenth of a second later.</param>
    public static (long Sent, double Rate) Run(IReadOnlyList<TesterWire> wires, Progress done, double seconds, double timeAxisStart)
    {
        var (start, sent) = (Stopwatch.GetTimestamp(), new Sent());
        var threads = Enumerable.Range(0, Threads).Select(one => new Thread(() => Publish([.. wires.Index().Where(wire => wire.Index % Threads == one)], sent, done, start, seconds, timeAxisStart)) { IsBackground = true, Name = "publisher" }).ToArray();
        Array.ForEach(threads, thread => thread.Start());
        Array.ForEach(threads, thread => thread.Join());

        // The first quarter is left out: caches, queues and commits are on their way then.
        var from = start + (long)(seconds / 4 * Stopwatch.Frequency);
        return (sent.Count, done.Rate(from, Stopwatch.GetTimestamp()));
    }

    private static void Publish((int Index, TesterWire Wire)[] mine, Sent sent, Progress done, long start, double seconds, double timeAxisStart)
    {
        for (var number = 0L; Stopwatch.GetElapsedTime(start).TotalSeconds < seconds; number += Batch)
        {
            foreach (var (index, wire) in mine)
            {
                while (sent.Count - done.Count > Window - Batch && Stopwatch.GetElapsedTime(start).TotalSeconds < seconds)
                {
                    Rest();
                }

                for (var message = number; message < number + Batch; message++)
                {
                    var at = message * StepSeconds;
                    wire.Add(timeAxisStart + at, ReadingScript.At(at, message, index));
                }

                wire.Send();
                sent.Add(Batch);
            }
        }
    }

    // A millisecond off the processor: waiting must not cost what is measured.
    private static void Rest()
    {
        using var never = new ManualResetEventSlim();
        never.Wait(1);
    }

    /// <summary>Messages that were sent, by all threads.</summary>
    private sealed class Sent
    {
        private long _count;

        public long Count => Interlocked.Read(ref _count);

        public void Add(long messages) => Interlocked.Add(ref _count, messages);
    }
}
