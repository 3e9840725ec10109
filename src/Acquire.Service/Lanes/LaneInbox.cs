using System.Threading.Channels;
using Acquire.Core.Readings;
using Acquire.Service.Live;

namespace Acquire.Service.Lanes;

/// <summary>The bounded queue between one tester's wire and its lane, with everything that is counted about the wire.</summary>
/// <remarks>
/// Nothing is ever dropped here. When the queue is full the source waits, the wait is counted, shown and alarmed.
/// Any number of writers, one reader.
/// </remarks>
public sealed class LaneInbox
{
    private readonly Channel<ReadingRow> _rows;
    private readonly TimeProvider _time;
    private readonly long _opened;
    private readonly Lock _connectionLock = new();
    private long _accepted;
    private long _malformed;
    private long _full;
    private long _missed;
    private long _repeated;
    private long _late;
    private long _lastArrival;
    private ConnectionState _connection = ConnectionState.Connecting;
    private long _connectionsLost;
    private string? _connectionText;
    private string? _lastRefusal;

    /// <param name="testerId">Tester this inbox belongs to.</param>
    /// <param name="capacity">Rows that may wait; 16 to 1,000,000.</param>
    /// <param name="time">Clock for arrival times.</param>
    public LaneInbox(string testerId, int capacity, TimeProvider time)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(capacity, 16);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(capacity, 1_000_000);
        TesterId = testerId;
        Capacity = capacity;
        _time = time;
        _opened = time.GetTimestamp();
        _rows = Channel.CreateBounded<ReadingRow>(new BoundedChannelOptions(capacity) { SingleReader = true, FullMode = BoundedChannelFullMode.Wait });
    }

    /// <summary>Tester this inbox belongs to.</summary>
    public string TesterId { get; }

    /// <summary>Rows that may wait.</summary>
    public int Capacity { get; }

    /// <summary>The lane's end.</summary>
    public ChannelReader<ReadingRow> Rows => _rows.Reader;

    /// <summary>Seconds on the monotonic axis that rows without a device time are stamped with, s since the inbox was opened.</summary>
    public double ArrivalSeconds => _time.GetElapsedTime(_opened).TotalSeconds;

    /// <summary>Seconds since the newest row arrived, s; null before the first.</summary>
    public double? SecondsSinceReading
    {
        get
        {
            var last = Interlocked.Read(ref _lastArrival);
            return last == 0 ? null : _time.GetElapsedTime(last).TotalSeconds;
        }
    }

    /// <summary>What has come over the wire.</summary>
    public TesterCounters Counters => new(
        Interlocked.Read(ref _accepted),
        Interlocked.Read(ref _malformed),
        Interlocked.Read(ref _full),
        _rows.Reader.Count,
        Capacity,
        Interlocked.Read(ref _missed),
        Interlocked.Read(ref _repeated),
        Interlocked.Read(ref _late));

    /// <summary>The newest refusal in words, null when there was none.</summary>
    public string? LastRefusal => Volatile.Read(ref _lastRefusal);

    /// <summary>Whether readings can arrive, and what to do if not.</summary>
    public (ConnectionState State, string? Text) Connection
    {
        get
        {
            lock (_connectionLock)
            {
                return (_connection, _connectionText);
            }
        }
    }

    /// <summary>How many times a connection that was up was lost, however shortly.</summary>
    public long ConnectionsLost => Interlocked.Read(ref _connectionsLost);

    /// <summary>Hands a row over; waits, and counts the wait, while the queue is full.</summary>
    public ValueTask WriteAsync(in ReadingRow row, CancellationToken cancellationToken)
    {
        Interlocked.Exchange(ref _lastArrival, _time.GetTimestamp());
        Interlocked.Increment(ref _accepted);
        if (_rows.Writer.TryWrite(row))
        {
            return ValueTask.CompletedTask;
        }

        Interlocked.Increment(ref _full);
        return _rows.Writer.WriteAsync(row, cancellationToken);
    }

    /// <summary>Counts a line or payload that was refused, and keeps the reason for the page.</summary>
    /// <param name="error">Where it was, what it held, what is allowed.</param>
    public void Refuse(Core.InputError error)
    {
        Interlocked.Increment(ref _malformed);
        Volatile.Write(ref _lastRefusal, error.ToString());
    }

    /// <summary>Counts a reading that had come before and was left out.</summary>
    public void Repeat() => Interlocked.Increment(ref _repeated);

    /// <summary>Counts a reading that came behind newer ones.</summary>
    public void Late() => Interlocked.Increment(ref _late);

    /// <summary>Counts polls that were due and brought no reading, and counted readings that did not come.</summary>
    /// <param name="polls">How many; -1 where one came after all.</param>
    public void Miss(long polls = 1) => Interlocked.Add(ref _missed, polls);

    /// <summary>States whether readings can arrive, and why not.</summary>
    public void SetConnection(ConnectionState state, string? text)
    {
        lock (_connectionLock)
        {
            if (_connection == ConnectionState.Up && state != ConnectionState.Up)
            {
                Interlocked.Increment(ref _connectionsLost);
            }

            _connection = state;
            _connectionText = text;
        }
    }
}
