using System.Globalization;
using Acquire.Service.Lanes;
using Acquire.Service.Live;

namespace Acquire.Service.Sources;

/// <summary>Runs one source. What gets out of a source is a mistake in this program: it is written down, shown at its testers, and the source is started again.</summary>
internal sealed partial class SourceKeeper(TimeProvider time, ILogger logger)
{
    /// <summary>Wait before a source that failed is started again.</summary>
    public static readonly TimeSpan Pause = TimeSpan.FromSeconds(5);

    /// <summary>Runs a source until it is told to stop.</summary>
    /// <param name="source">Name for the log.</param>
    /// <param name="inboxes">Inboxes of its testers at the time.</param>
    /// <param name="runAsync">The source; ends when told to.</param>
    /// <param name="stopping">Tells it.</param>
    public async Task RunAsync(string source, Func<IReadOnlyList<LaneInbox>> inboxes, Func<CancellationToken, Task> runAsync, CancellationToken stopping)
    {
        while (true)
        {
            try
            {
                await runAsync(stopping).ConfigureAwait(false);
                return;
            }
            catch (Exception exception)
            {
                if (stopping.IsCancellationRequested)
                {
                    return;
                }

                Log.Failed(logger, exception, source);
            }

            foreach (var inbox in inboxes())
            {
                inbox.SetConnection(ConnectionState.Down, string.Create(CultureInfo.InvariantCulture, $"the program failed while reading; it tries again every {Pause.TotalSeconds:0} s. Report the log"));
            }

            await Task.Delay(Pause, time, stopping).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    private static partial class Log
    {
        [LoggerMessage(2300, LogLevel.Critical, "The source {Source} failed because of a mistake in this program; it is started again")]
        public static partial void Failed(ILogger logger, Exception exception, string source);
    }
}
