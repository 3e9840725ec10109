using System.Runtime.CompilerServices;
using Acquire.Core.Readings;

namespace Acquire.Simulator;

/// <summary>Hands out rows when their time has come, a few at once.</summary>
/// <remarks>Time is measured from the first row and not from batch to batch, so a wire that was slow is caught up with and nothing drifts.</remarks>
internal sealed class Pacer(TimeProvider time)
{
    /// <summary>Wall time between two batches.</summary>
    public static readonly TimeSpan Beat = TimeSpan.FromMilliseconds(40);

    /// <summary>Most rows in one batch; reached only while catching up or at high rates.</summary>
    public const int MostRows = 500;

    public async IAsyncEnumerable<IReadOnlyList<ReadingRow>> BatchesAsync(
        IEnumerable<ReadingRow> rows,
        double speed,
        [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        using var timer = new PeriodicTimer(Beat, time);
        var started = time.GetTimestamp();
        var origin = double.NaN;
        var batch = new List<ReadingRow>();
        foreach (var (dueSeconds, row) in Sending.Of(rows))
        {
            cancellationToken.ThrowIfCancellationRequested();
            origin = double.IsNaN(origin) ? dueSeconds : origin;
            while (time.GetElapsedTime(started).TotalSeconds * speed < dueSeconds - origin)
            {
                if (batch.Count > 0)
                {
                    yield return batch;
                    batch = [];
                }

                await timer.WaitForNextTickAsync(cancellationToken);
            }

            batch.Add(row);
            if (batch.Count == MostRows)
            {
                yield return batch;
                batch = [];
            }
        }

        if (batch.Count > 0)
        {
            yield return batch;
        }
    }
}
