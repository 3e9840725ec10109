using Acquire.Service.Configuration;
using Acquire.Service.Lanes.Starting;

namespace Acquire.Service.Sources.Capture;

/// <summary>Keeps what the wire of one tester says during each of its runs, and in the moment before, in a file for each run.</summary>
/// <remarks>The reader of the wire is never held up: what the disk cannot take in time is left out, and the file says so.</remarks>
public sealed partial class WireCapture
{
    /// <summary>A row that begins a run came before it: so much before is kept, s.</summary>
    public const double BeforeSeconds = 2;

    private const int MostBytesBefore = 65_536;

    private readonly Lock _lock = new();
    private readonly Queue<(long At, WireEvent What, byte[] Bytes)> _before = new();
    private readonly CaptureConfig _config;
    private readonly CaptureFolder _folder;
    private readonly string _description;
    private readonly TimeProvider _time;
    private readonly ILogger _logger;
    private int _bytesBefore;
    private CaptureWriter? _writer;
    private Task _writing = Task.CompletedTask;

    /// <param name="config">How much is kept.</param>
    /// <param name="folder">Where.</param>
    /// <param name="description">The wire in a few words, kept as a comment.</param>
    /// <param name="time">Clock.</param>
    /// <param name="logger">Log.</param>
    public WireCapture(CaptureConfig config, CaptureFolder folder, string description, TimeProvider time, ILogger logger)
    {
        ArgumentNullException.ThrowIfNull(config);
        ArgumentNullException.ThrowIfNull(folder);
        (_config, _folder, _description, _time, _logger) = (config, folder, description, time, logger);
    }

    /// <summary>Listens to the wire.</summary>
    public WireTap Tap => new()
    {
        Opened = () => Take(WireEvent.Opened, []),
        Fault = cause => Take(WireEvent.Lost, WireRecord.Cause(cause)),
        Received = bytes => Take(WireEvent.In, bytes.ToArray()),
        Sent = bytes => Take(WireEvent.Out, bytes.ToArray()),
        Message = (topic, payload) => Take(WireEvent.Message, WireRecord.Message(topic, payload.Span)),
    };

    /// <summary>A run begins, or goes on after the service had stopped: what comes from now on, and came just before, goes into a file of its own.</summary>
    public void Begin(string runId)
    {
        if (_folder.NextFileOf(runId) is not { } file)
        {
            return;
        }

        lock (_lock)
        {
            _writer?.Complete();
            var now = _time.GetTimestamp();
            DropOld(now);
            var begun = _before.Count > 0 ? _before.Peek().At : now;
            _writer = new(file, _config.LargestMegabytes * 1_000_000L, _description, begun, now, _time, _logger);
            foreach (var (at, what, bytes) in _before)
            {
                _writer.Add(at, what, bytes);
            }

            var dropping = _config.KeepDays is { } days && RunIds.TesterOf(runId) is { } tester ? Task.Run(() => DropOlder(tester, days)) : Task.CompletedTask;
            _writing = _writing.IsCompleted ? Task.WhenAll(_writer.Writing, dropping) : Task.WhenAll(_writing, _writer.Writing, dropping);
        }
    }

    /// <summary>The run has ended.</summary>
    public void End()
    {
        lock (_lock)
        {
            _writer?.Complete();
            _writer = null;
        }
    }

    /// <summary>Ends once everything is on the disk, or cannot be.</summary>
    public Task FinishAsync()
    {
        lock (_lock)
        {
            return _writing;
        }
    }

    private void DropOlder(string testerId, int days)
    {
        try
        {
            if (_folder.DropOlder(testerId, _time.GetUtcNow().AddDays(-days)) is > 0 and var dropped)
            {
                Log.Dropped(_logger, testerId, dropped, days);
            }
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            Log.NotDropped(_logger, exception, testerId);
        }
    }

    private void Take(WireEvent what, byte[] bytes)
    {
        var now = _time.GetTimestamp();
        lock (_lock)
        {
            _writer?.Add(now, what, bytes);
            _before.Enqueue((now, what, bytes));
            _bytesBefore += bytes.Length;
            DropOld(now);
        }
    }

    private void DropOld(long now)
    {
        while (_before.Count > 0 && (_bytesBefore > MostBytesBefore || _time.GetElapsedTime(_before.Peek().At, now).TotalSeconds > BeforeSeconds))
        {
            _bytesBefore -= _before.Dequeue().Bytes.Length;
        }
    }

    private static partial class Log
    {
        [LoggerMessage(2502, LogLevel.Information, "Tester {TesterId}: {Files} files of what its wire said are older than {Days} days and were deleted")]
        public static partial void Dropped(ILogger logger, string testerId, int files, int days);

        [LoggerMessage(2503, LogLevel.Warning, "Tester {TesterId}: old files of what its wire said cannot be deleted; tried again as its next run begins")]
        public static partial void NotDropped(ILogger logger, Exception exception, string testerId);
    }
}
