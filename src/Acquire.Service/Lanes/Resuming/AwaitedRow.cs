using System.Globalization;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Service.Lanes.Starting;

namespace Acquire.Service.Lanes.Resuming;

/// <summary>What the first row has to fit with which a run goes on: the axis of its earlier rows.</summary>
/// <param name="axis">What the run's time is counted from.</param>
/// <param name="newestSeconds">Its newest archived row, s on the run's axis.</param>
/// <param name="within">How long the run may have been without rows.</param>
internal sealed class AwaitedRow(AxisBegun axis, double newestSeconds, TimeSpan within)
{
    /// <summary>How fast a clock may run that is slewed, as a share of time: 500 ppm, the most that Linux slews by (adjtimex(2)).</summary>
    public const double LargestDrift = 500e-6;

    /// <summary>Says where the row lies.</summary>
    /// <param name="row">The row, as it came.</param>
    /// <param name="arrivedAt">When it arrived, UTC.</param>
    /// <param name="startSeconds">Where the run's axis begins on that of the row, s.</param>
    /// <returns>Why it does not fit, for a person; null where it does.</returns>
    public string? Refuses(in ReadingRow row, DateTimeOffset arrivedAt, out double startSeconds)
    {
        // Rows without a time of their own are put by the clock of the computer, counted from the first row.
        startSeconds = axis.TestersTime ? axis.StartSeconds : row.AtSeconds - (arrivedAt - axis.At).TotalSeconds;
        var gap = row.AtSeconds - startSeconds - newestSeconds;
        if (axis.TestersTime && gap < -DeviceClock.LargestJitterSeconds)
        {
            return string.Create(CultureInfo.InvariantCulture, $"the tester's own time went back by {-gap:0.0} s: it was started again meanwhile");
        }

        if (!axis.TestersTime && gap <= 0)
        {
            return string.Create(CultureInfo.InvariantCulture, $"the clock of this computer went back by {-gap:0.0} s or more meanwhile, so nobody can say how long the readings were missing");
        }

        return gap <= within.TotalSeconds ? null
            : string.Create(CultureInfo.InvariantCulture, $"{gap / 60:0.0} min of readings are missing; a run goes on after at most {within.TotalMinutes:0.#} min (resume.withinMinutes)");
    }
}
