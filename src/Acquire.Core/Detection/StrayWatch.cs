using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <summary>Looks for an ignition while no test flame is over the cup.</summary>
/// <remarks>Part of a run's snapshot; not thread-safe.</remarks>
public sealed class StrayWatch
{
    private const double RestSeconds = 20;
    private const double UnsolicitedSeconds = 0.3;

    [JsonInclude]
    private double _aboveSince = double.NaN;

    [JsonInclude]
    private double _straySince = double.NaN;

    /// <summary>Takes in a reading of the detector at rest.</summary>
    /// <param name="seconds">Time, s; later than the one before.</param>
    /// <param name="height">Smoothed height above the baseline, detector's unit.</param>
    /// <param name="threshold">Height that an ignition has to exceed, detector's unit.</param>
    /// <param name="armed">Whether enough is known of the detector to look.</param>
    /// <param name="events">Receives what was seen.</param>
    internal void Add(double seconds, double height, double threshold, bool armed, List<WatchEvent> events)
    {
        if (!double.IsNaN(_straySince))
        {
            if (height < threshold / 2 || seconds - _straySince > RestSeconds)
            {
                _straySince = double.NaN;
                events.Add(new WatchEvent.StrayEnded());
            }

            return;
        }

        if (height <= threshold || !armed)
        {
            _aboveSince = double.NaN;
        }
        else if (double.IsNaN(_aboveSince))
        {
            _aboveSince = seconds;
        }
        else if (seconds - _aboveSince >= UnsolicitedSeconds)
        {
            _straySince = seconds;
            events.Add(new WatchEvent.Stray(_aboveSince));
            _aboveSince = double.NaN;
        }
    }
}
