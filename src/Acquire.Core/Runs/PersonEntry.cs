namespace Acquire.Core.Runs;

/// <summary>What a person entered at the cup of a guided run. With the readings the entries make the record whole: see <see cref="RunReplay"/>.</summary>
/// <param name="AtSeconds">When, s: never before an earlier reading or entry.</param>
/// <param name="ReadingSeconds">Time of the newest reading then, s: the entry stands directly after it in the record. Null where none had come.</param>
/// <param name="Person">Who entered it; null where nobody said.</param>
public abstract record PersonEntry(double AtSeconds, double? ReadingSeconds, string? Person) : RunOutput(AtSeconds)
{
    /// <summary>The entry as an input of the supervisor.</summary>
    internal abstract RunInput AsInput();
}

/// <summary>A person recorded what was seen, as it was recorded.</summary>
/// <param name="AtSeconds">When, s.</param>
/// <param name="ReadingSeconds">Time of the newest reading then, s.</param>
/// <param name="Seen">What was seen.</param>
/// <param name="Person">Who recorded it; null where nobody said.</param>
public sealed record ObservationMade(double AtSeconds, double? ReadingSeconds, Sighting Seen, string? Person = null) : PersonEntry(AtSeconds, ReadingSeconds, Person)
{
    /// <inheritdoc/>
    internal override RunInput AsInput() => RunInput.Observation(AtSeconds, Seen, Person);
}

/// <summary>A fresh test portion was charged in an equilibrium run.</summary>
/// <param name="AtSeconds">When, s.</param>
/// <param name="ReadingSeconds">Time of the newest reading then, s.</param>
/// <param name="Millilitres">Its volume, mL; null where nobody said.</param>
/// <param name="Person">Who charged it; null where nobody said.</param>
public sealed record PortionCharged(double AtSeconds, double? ReadingSeconds, double? Millilitres, string? Person = null) : PersonEntry(AtSeconds, ReadingSeconds, Person)
{
    /// <summary>Smallest and largest volume that can be said, mL.</summary>
    public static readonly Methods.ValueRange MillilitresRange = new(0.1, 200);

    /// <inheritdoc/>
    internal override RunInput AsInput() => RunInput.Portion(AtSeconds, Millilitres, Person);
}

/// <summary>A person took the newest observation back. It stays in the record; what it led to stands no more (<see cref="StandingFacts"/>).</summary>
/// <param name="AtSeconds">When, s: at most <see cref="LongestSeconds"/> after the observation.</param>
/// <param name="ReadingSeconds">Time of the newest reading then, s.</param>
/// <param name="ObservedSeconds">When the observation was made, s.</param>
/// <param name="Seen">What it had said.</param>
/// <param name="Person">Who took it back; null where nobody said.</param>
public sealed record ObservationWithdrawn(double AtSeconds, double? ReadingSeconds, double ObservedSeconds, Sighting Seen, string? Person = null) : PersonEntry(AtSeconds, ReadingSeconds, Person)
{
    /// <summary>How long an observation can be taken back, s: time to see a wrong key, and too short to think better of a result. Common practice, no source.</summary>
    public const double LongestSeconds = 10;

    /// <inheritdoc/>
    internal override RunInput AsInput() => RunInput.Withdrawal(AtSeconds, Person);
}
