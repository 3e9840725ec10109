using System.Threading.Channels;
using Acquire.Core.Control;
using Acquire.Core.Readings;

namespace Acquire.Simulator;

/// <summary>A driven tester that lives on while the wire comes and goes: it heats, cools and counts lifetimes by the clock, whether anybody listens or not.</summary>
public sealed class DrivenTalk
{
    // Wall time between two moments at which rows are handed out; a pass of the flame must be seen to begin and end even in a hurried demonstration.
    private static readonly TimeSpan Beat = TimeSpan.FromMilliseconds(10);

    // What a slow wire may lag behind; older rows are lost, as in a tester without a memory.
    private const int MostWaiting = 5000;

    private readonly Lock gate = new();
    private readonly DrivenTester tester;
    private readonly double speed;
    private readonly TimeProvider time;
    private readonly long started;
    private readonly Channel<ReadingRow> rows;
    private long malformed;
    private long rowsLost;

    /// <summary>A tester that begins to live now.</summary>
    /// <param name="tester">The tester; from now on only to be looked at through <see cref="Look"/>.</param>
    /// <param name="speed">How many seconds of the cup pass in one second, 1 to 60; lifetimes are not hurried.</param>
    /// <param name="time">Its clock.</param>
    public DrivenTalk(DrivenTester tester, double speed, TimeProvider time)
    {
        ArgumentNullException.ThrowIfNull(tester);
        ArgumentNullException.ThrowIfNull(time);
        SpeakingSpeed.Require(speed);
        (this.tester, this.speed, this.time) = (tester, speed, time);
        started = time.GetTimestamp();
        rows = Channel.CreateBounded<ReadingRow>(new BoundedChannelOptions(MostWaiting) { FullMode = BoundedChannelFullMode.DropOldest }, _ => Interlocked.Increment(ref rowsLost));
    }

    /// <summary>Lines or messages that were no command.</summary>
    public long Malformed => Interlocked.Read(ref malformed);

    /// <summary>Rows that no wire took.</summary>
    public long RowsLost => Interlocked.Read(ref rowsLost);

    /// <summary>Looks at the tester as it is now, or puts something into it.</summary>
    /// <param name="look">Runs while the tester stands still; keep it short.</param>
    public T Look<T>(Func<DrivenTester, T> look)
    {
        ArgumentNullException.ThrowIfNull(look);
        lock (gate)
        {
            Advance();
            return look(tester);
        }
    }

    /// <summary>Lets the tester live until cancelled.</summary>
    public async Task LiveAsync(CancellationToken cancellationToken)
    {
        using var timer = new PeriodicTimer(Beat, time);
        while (await timer.WaitForNextTickAsync(cancellationToken))
        {
            lock (gate)
            {
                Advance();
            }
        }
    }

    /// <summary>A line has come over the wire; what is none is counted and changes nothing.</summary>
    internal void HearLine(ReadOnlySpan<byte> line)
    {
        // Between commands a wire may carry an empty line; that is no damage.
        if (line.TrimEnd("\r\n"u8).IsEmpty)
        {
            return;
        }

        Hear(DriveText.TryParseLine(line, out var command, out _) ? command : null);
    }

    /// <summary>A message has come; what is no command is counted and changes nothing.</summary>
    internal void HearJson(ReadOnlySpan<byte> json) => Hear(DriveText.TryParseJson(json, out var command, out _) ? command : null);

    /// <summary>Something has come that cannot be a command.</summary>
    internal void HearNoise() => Hear(null);

    /// <summary>Rows read meanwhile; waits for one at least.</summary>
    internal async ValueTask<IReadOnlyList<ReadingRow>> NextAsync(CancellationToken cancellationToken)
    {
        await rows.Reader.WaitToReadAsync(cancellationToken);
        var batch = new List<ReadingRow>();
        while (batch.Count < Pacer.MostRows && rows.Reader.TryRead(out var row))
        {
            batch.Add(row);
        }

        return batch;
    }

    /// <summary>The wire is new: what was read before it was there is lost.</summary>
    internal void Forget()
    {
        while (rows.Reader.TryRead(out _))
        {
            Interlocked.Increment(ref rowsLost);
        }
    }

    private void Hear(DriveCommand? command)
    {
        if (command is null)
        {
            Interlocked.Increment(ref malformed);
            return;
        }

        lock (gate)
        {
            // What came before the command must not be moved on by it.
            tester.Receive(command, Advance());
        }
    }

    private double Advance()
    {
        var now = time.GetElapsedTime(started).TotalSeconds;
        foreach (var row in tester.Advance(now * speed, now))
        {
            rows.Writer.TryWrite(row);
        }

        return now;
    }
}
