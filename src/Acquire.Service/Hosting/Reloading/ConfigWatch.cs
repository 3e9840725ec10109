using System.Text.Json;
using Acquire.Core;
using Acquire.Service.CommandLine;
using Acquire.Service.Configuration;

namespace Acquire.Service.Hosting.Reloading;

/// <summary>Looks at the file once a second and has what it says taken. A file with a mistake changes nothing.</summary>
/// <remarks>
/// It looks, and waits for no notice: those do not come from folders of other machines, nor where an editor puts another file in its place.
/// A file counts once it has stayed the same for a second, so that none is read half written.
/// </remarks>
public sealed partial class ConfigWatch(string path, Reloader reloader, ConfigurationState state, TimeProvider time, ILogger<ConfigWatch> logger, Lanes.LaneMaker maker) : BackgroundService
{
    /// <summary>From one look to the next.</summary>
    public static readonly TimeSpan Period = TimeSpan.FromSeconds(1);

    private Stamp? _candidate;
    private Stamp? _read;

    /// <inheritdoc/>
    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        state.Become(overview => overview with { File = path });
        using var timer = new PeriodicTimer(Period, time);
        while (!stoppingToken.IsCancellationRequested)
        {
            try
            {
                await timer.WaitForNextTickAsync(stoppingToken).ConfigureAwait(false);
                await LookAsync(stoppingToken).ConfigureAwait(false);
            }
            catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
            {
                return;
            }
#pragma warning disable CA1031 // What goes wrong here is a mistake in this program; the testers go on as they are.
            catch (Exception exception)
#pragma warning restore CA1031
            {
                Log.Failed(logger, exception);
            }
        }
    }

    private async Task LookAsync(CancellationToken cancellationToken)
    {
        var stamp = Stamp.Of(path);
        var isStill = stamp == _candidate;
        _candidate = stamp;
        if (isStill && stamp != _read)
        {
            _read = stamp;
            await ReadAsync(cancellationToken).ConfigureAwait(false);
        }
        else if (state.Overview.Waiting.Count > 0)
        {
            await reloader.ReconcileAsync(cancellationToken).ConfigureAwait(false);
        }
    }

    private async Task ReadAsync(CancellationToken cancellationToken)
    {
        // The methods are those that the service was started with.
        if (ConfigFile.TryRead(path, out var wanted, out var mistakes))
        {
            wanted = wanted with { Methods = maker.Methods };
            mistakes = ServeCommand.AutoStarts(path, wanted);
        }

        if (mistakes.Count > 0)
        {
            Refuse(mistakes);
        }
        else if (!JsonElement.DeepEquals(wanted!.Written, reloader.Wanted.Written))
        {
            await reloader.TakeAsync(wanted, cancellationToken).ConfigureAwait(false);
        }
        else if (state.Overview.Mistakes.Count > 0)
        {
            state.Become(overview => overview with { Mistakes = [] });
        }
    }

    private void Refuse(IReadOnlyList<InputError> mistakes)
    {
        foreach (var mistake in mistakes)
        {
            Log.Mistake(logger, mistake.ToString());
        }

        Log.Refused(logger, mistakes.Count);
        state.Become(overview => overview with { Refused = overview.Refused + 1, Mistakes = [.. mistakes.Select(mistake => mistake.ToString())] });
    }

    // A file that is not there is a state of its own: it is told like any other mistake.
    private readonly record struct Stamp(DateTime WrittenAt, long Length)
    {
        public static Stamp Of(string path)
        {
            var file = new FileInfo(path);
            return file.Exists ? new(file.LastWriteTimeUtc, file.Length) : default;
        }
    }

    private static partial class Log
    {
        [LoggerMessage(1110, LogLevel.Error, "The configuration has changed; {Mistakes} mistakes, nothing of it is taken")]
        public static partial void Refused(ILogger logger, int mistakes);

        [LoggerMessage(1111, LogLevel.Error, "{Mistake}")]
        public static partial void Mistake(ILogger logger, string mistake);

        [LoggerMessage(1112, LogLevel.Critical, "Taking the configuration failed because of a mistake in this program; the testers go on as they are")]
        public static partial void Failed(ILogger logger, Exception exception);
    }
}
