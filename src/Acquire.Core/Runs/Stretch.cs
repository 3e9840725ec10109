namespace Acquire.Core.Runs;

/// <summary>Stretches of time in which a limit is broken: the one that is open, the longest, the worst value. Part of a run's snapshot.</summary>
internal sealed class Stretch
{
    /// <summary>Since when the limit is broken, s; null while it is kept.</summary>
    public double? Since { get; set; }

    /// <summary>When the limit was broken last, s.</summary>
    public double LastSeconds { get; set; } = double.NegativeInfinity;

    /// <summary>When the newest stretch began, s.</summary>
    public double NewestFrom { get; set; } = double.PositiveInfinity;

    /// <summary>Length of the longest stretch, s.</summary>
    public double LongestSeconds { get; set; }

    /// <summary>When the longest began, s.</summary>
    public double LongestFrom { get; set; }

    /// <summary>Specimen temperature when it began, °C.</summary>
    public double? LongestCelsius { get; set; }

    /// <summary>The value farthest from its limit in all stretches.</summary>
    public double Worst { get; set; } = double.NaN;

    /// <summary>Specimen temperature when the open stretch began, °C.</summary>
    public double? SinceCelsius { get; set; }

    /// <summary>How long the limit has been broken by the newest reading, without the times it was held, s; 0 while it is kept.</summary>
    public double Seconds { get; set; }

    /// <summary>The limit is broken at a moment.</summary>
    /// <param name="seconds">The moment, s.</param>
    /// <param name="celsius">Specimen temperature, °C.</param>
    /// <param name="value">What breaks it.</param>
    /// <param name="worse">Whether the value is worse than <see cref="Worst"/>; asked only where there is one.</param>
    public void Break(double seconds, double? celsius, double value, bool worse)
    {
        if (Since is null)
        {
            (Since, SinceCelsius, NewestFrom, LastSeconds) = (seconds, celsius, seconds, seconds);
        }

        Seconds += seconds - LastSeconds;
        LastSeconds = seconds;
        Worst = double.IsNaN(Worst) || worse ? value : Worst;
        if (Seconds > LongestSeconds)
        {
            (LongestSeconds, LongestFrom, LongestCelsius) = (Seconds, Since.Value, SinceCelsius);
        }
    }

    /// <summary>The limit does not hold for the moment: what goes on after it goes on counting.</summary>
    public void Hold(double seconds) => LastSeconds = Since is null ? LastSeconds : seconds;

    /// <summary>The limit is kept again, or is not judged any more.</summary>
    public void End() => (Since, Seconds) = (null, 0);

    /// <summary>Whether the newest stretch reached into a span of time.</summary>
    public bool Touches(double fromSeconds, double toSeconds) => NewestFrom <= toSeconds && (Since is not null || LastSeconds >= fromSeconds);
}

/// <summary>Applications at which something was wrong: how many, and the first. Part of a run's snapshot.</summary>
internal sealed class WrongApplications
{
    /// <summary>How many.</summary>
    public int Count { get; set; }

    /// <summary>When the first was, s.</summary>
    public double FirstSeconds { get; set; }

    /// <summary>Specimen temperature then, °C.</summary>
    public double? FirstCelsius { get; set; }

    /// <summary>Counts one more.</summary>
    public void Add(double seconds, double celsius)
    {
        if (Count++ == 0)
        {
            (FirstSeconds, FirstCelsius) = (seconds, celsius);
        }
    }
}
