using System.Globalization;
using System.Text;
using System.Threading.Channels;

namespace Acquire.Service.Sources.Capture;

/// <summary>Writes the file of one run. Bounded in memory and on the disk; where something is left out the file says so and how much.</summary>
internal sealed partial class CaptureWriter
{
    // The archive comes first: it needs the room that is left.
    private const long LeastFreeBytes = 500_000_000;
    private const int MostWaiting = 4096;
    private static readonly TimeSpan FlushEvery = TimeSpan.FromSeconds(1);

    private readonly Channel<(long At, WireEvent What, byte[] Bytes)> _waiting = Channel.CreateBounded<(long, WireEvent, byte[])>(new BoundedChannelOptions(MostWaiting) { SingleReader = true });
    private readonly string _file;
    private readonly long _largest;
    private readonly long _begun;
    private readonly TimeProvider _time;
    private readonly ILogger _logger;
    private long _leftOut;
    private long _written;
    private bool _isCut;

    /// <param name="file">The file; it must not be there yet.</param>
    /// <param name="largest">Size at which it is cut, bytes.</param>
    /// <param name="description">The wire in a few words.</param>
    /// <param name="begun">Time stamp from which its times count.</param>
    /// <param name="runBegun">Time stamp of the run's beginning.</param>
    /// <param name="time">Clock.</param>
    /// <param name="logger">Log.</param>
    public CaptureWriter(string file, long largest, string description, long begun, long runBegun, TimeProvider time, ILogger logger)
    {
        (_file, _largest, _begun, _time, _logger) = (file, largest, begun, time, logger);
        var before = time.GetElapsedTime(begun, runBegun);
        var head = string.Create(CultureInfo.InvariantCulture, $"{WireRecord.Header}\n# begun {time.GetUtcNow() - before:yyyy-MM-ddTHH:mm:ss.fffZ}\n# {Configuration.JsonText.Shown(description)}\n# the run {Path.GetFileNameWithoutExtension(file)} begins at {(long)before.TotalMicroseconds}\n");
        Writing = Task.Run(() => WriteAsync(head));
    }

    /// <summary>Ends once everything is on the disk, or cannot be.</summary>
    public Task Writing { get; }

    /// <summary>Takes what happened. Never waits.</summary>
    public void Add(long at, WireEvent what, byte[] bytes)
    {
        if (!_waiting.Writer.TryWrite((at, what, bytes)))
        {
            Interlocked.Increment(ref _leftOut);
        }
    }

    /// <summary>Nothing more comes.</summary>
    public void Complete() => _waiting.Writer.TryComplete();

    private async Task WriteAsync(string head)
    {
        try
        {
            Directory.CreateDirectory(Path.GetDirectoryName(_file)!);
            var writer = new StreamWriter(new FileStream(_file, FileMode.CreateNew, FileAccess.Write, FileShare.Read), Encoding.ASCII);
            await using (writer.ConfigureAwait(false))
            {
                Write(writer, head);
                await DrainAsync(writer).ConfigureAwait(false);
            }
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            // The run goes on: its rows are in the archive.
            Log.Failed(_logger, exception, _file);
            await foreach (var _ in _waiting.Reader.ReadAllAsync().ConfigureAwait(false))
            {
            }
        }
    }

    private async Task DrainAsync(StreamWriter writer)
    {
        var flushed = _time.GetTimestamp();
        await foreach (var (at, what, bytes) in _waiting.Reader.ReadAllAsync().ConfigureAwait(false))
        {
            if (Interlocked.Exchange(ref _leftOut, 0) is > 0 and var left)
            {
                Write(writer, string.Create(CultureInfo.InvariantCulture, $"# {left} records are missing here: the disk was too slow\n"));
            }

            foreach (var record in WireRecord.Of((long)_time.GetElapsedTime(_begun, at).TotalMicroseconds, what, bytes))
            {
                Write(writer, record.ToLine() + "\n");
            }

            // A reader sees the newest second, and a full disk is known in time.
            if (_time.GetElapsedTime(flushed) >= FlushEvery)
            {
                flushed = _time.GetTimestamp();
                await writer.FlushAsync().ConfigureAwait(false);
                if (new DriveInfo(Path.GetFullPath(_file)).AvailableFreeSpace is < LeastFreeBytes and var free)
                {
                    Cut(writer, string.Create(CultureInfo.InvariantCulture, $"only {free / 1_000_000} MB are free on the disk, which the archive needs"));
                }
            }
        }
    }

    private void Write(StreamWriter writer, string line)
    {
        if (!_isCut && _written + line.Length > _largest)
        {
            Cut(writer, string.Create(CultureInfo.InvariantCulture, $"the file has reached {_largest / 1_000_000} MB (capture.largestMegabytes)"));
        }

        if (!_isCut)
        {
            writer.Write(line);
            _written += line.Length;
        }
    }

    private void Cut(StreamWriter writer, string why)
    {
        if (!_isCut)
        {
            _isCut = true;
            writer.Write($"# cut here: {why}; what came later was not kept\n");
            Log.Cut(_logger, _file, why);
        }
    }

    private static partial class Log
    {
        [LoggerMessage(2500, LogLevel.Warning, "{File} is cut: {Why}; what the wire says later in this run is not kept")]
        public static partial void Cut(ILogger logger, string file, string why);

        [LoggerMessage(2501, LogLevel.Error, "{File} cannot be written; what the wire says is not kept, the run goes on")]
        public static partial void Failed(ILogger logger, Exception exception, string file);
    }
}
