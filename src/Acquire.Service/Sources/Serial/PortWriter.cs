using System.Text;
using Acquire.Core.Control;
using Acquire.Service.Lanes.Driving;

namespace Acquire.Service.Sources.Serial;

/// <summary>Writes the commands for a driven tester to the port that its readings come by. A write that is stuck holds up neither the reader nor the lane.</summary>
internal sealed partial class PortWriter(OpenPort port, DriveOutlet outlet, string testerId, TimeProvider time, ILogger logger)
{
    private static readonly TimeSpan AfterFailure = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan LongestLast = TimeSpan.FromMilliseconds(500);
    private static readonly TimeSpan DrainStep = TimeSpan.FromMilliseconds(10);

    private bool _failed;

    /// <summary>Writes each newest command until cancelled. Never throws.</summary>
    public async Task RunAsync(CancellationToken cancellationToken)
    {
        while (!cancellationToken.IsCancellationRequested)
        {
            try
            {
                var command = await outlet.NextAsync(cancellationToken).ConfigureAwait(false);

                // What the wire has not taken yet is old when it arrives: better one command left out than ten late ones.
                if (port.BytesToWrite <= DriveText.LongestLineBytes)
                {
                    await port.WriteAsync(Line(command), cancellationToken).ConfigureAwait(false);
                    _failed = false;
                }
            }
            catch (OperationCanceledException) when (cancellationToken.IsCancellationRequested)
            {
                return;
            }
#pragma warning disable CA1031 // Drivers throw whatever they like. The reader finds out whether the port is lost; readings go on until then.
            catch (Exception exception)
#pragma warning restore CA1031
            {
                if (!_failed)
                {
                    Log.WriteFailed(logger, exception, testerId);
                }

                _failed = true;
                await Task.Delay(AfterFailure, time, cancellationToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            }
        }
    }

    /// <summary>Writes the last commands, heater off, and waits a moment until they are on the wire; the port may be closed after it. Never throws, and never waits long.</summary>
    public async Task EndAsync()
    {
        using var limit = new CancellationTokenSource(LongestLast, time);
        try
        {
            foreach (var command in outlet.End())
            {
                await port.WriteAsync(Line(command), limit.Token).AsTask().WaitAsync(limit.Token).ConfigureAwait(false);
            }

            while (port.BytesToWrite > 0)
            {
                await Task.Delay(DrainStep, time, limit.Token).ConfigureAwait(false);
            }
        }
#pragma warning disable CA1031 // As above; the tester cuts its heater by itself when the lifetime of the newest command is over.
        catch (Exception exception)
#pragma warning restore CA1031
        {
            Log.LastFailed(logger, exception, testerId);
        }
    }

    private static byte[] Line(DriveCommand command) => Encoding.ASCII.GetBytes(DriveText.ToLine(command));

    private static partial class Log
    {
        [LoggerMessage(2010, LogLevel.Error, "Tester {Tester}: a command could not be written to its port; without commands it cuts its heater by itself")]
        public static partial void WriteFailed(ILogger logger, Exception exception, string tester);

        [LoggerMessage(2011, LogLevel.Warning, "Tester {Tester}: the last commands, heater off, could not be written; it cuts its heater by itself")]
        public static partial void LastFailed(ILogger logger, Exception exception, string tester);
    }
}
