using Acquire.Core.Readings;

namespace Acquire.Core.Runs;

/// <summary>The newest observation while it can be taken back, with all that is needed to go on as if it had not been made. Part of a run's snapshot.</summary>
internal sealed class WithdrawableObservation
{
    // Ten seconds at five hundred rows a second, twice over. Rows whose time stands still must not fill the memory.
    private const int MostInputs = 10_000;

    /// <summary>The state directly before it, as <see cref="RunSnapshot"/> writes it.</summary>
    public required string Before { get; init; }

    /// <summary>When it was made, s.</summary>
    public required double AtSeconds { get; init; }

    /// <summary>What it says.</summary>
    public required Sighting Seen { get; init; }

    /// <summary>What came since, in order.</summary>
    public List<InputSince> Since { get; init; } = [];

    /// <summary>Keeps what is about to be taken.</summary>
    public static void Keep(RunState state, InputSince input)
    {
        if (state.Withdrawable is not { } newest)
        {
            return;
        }

        newest.Since.Add(input);
        if (newest.Since.Count > MostInputs)
        {
            state.Withdrawable = null;
        }
    }

    /// <summary>Lets it go once it is too old to be taken back.</summary>
    public static void Expire(RunState state)
    {
        if (state.Withdrawable is { } newest && state.AtSeconds - newest.AtSeconds > ObservationWithdrawn.LongestSeconds)
        {
            state.Withdrawable = null;
        }
    }

    /// <summary>Takes the newest observation back, where one can be: the state becomes what it would be without it.</summary>
    public static void Withdraw(in Bench bench, double seconds, string? person)
    {
        var s = bench.State;
        var at = Math.Max(s.AtSeconds, seconds);
        if (s.Withdrawable is not { } newest || at - newest.AtSeconds > ObservationWithdrawn.LongestSeconds)
        {
            return;
        }

        var standing = s.Alarms.ToArray();
        bench.Outputs.Add(new ObservationWithdrawn(at, s.Guide.ReadingSeconds, newest.AtSeconds, newest.Seen, person));
        var anew = new List<RunOutput>();
        s.Become(RunSnapshot.Load(newest.Before));
        foreach (var input in newest.Since)
        {
            RunSupervisor.Again(s, bench.Plan, input, anew);
        }

        // The time that has passed is not taken back.
        s.AtSeconds = Math.Max(s.AtSeconds, at);
        Sound(bench, standing);
        bench.Outputs.AddRange(anew.Where(fact => fact is not (AlarmRaised or AlarmCleared)));
    }

    // Whoever hears alarms has heard those before the withdrawal: only the difference is told.
    private static void Sound(in Bench bench, string[] standing)
    {
        var s = bench.State;
        foreach (var code in standing.Except(s.Alarms))
        {
            bench.Outputs.Add(new AlarmCleared(s.AtSeconds, code));
        }

        foreach (var code in s.Alarms.Except(standing))
        {
            bench.Outputs.Add(new AlarmRaised(s.AtSeconds, code, s.AlarmTexts[code]));
        }
    }
}

/// <summary>One thing that the supervisor took: a row or another input.</summary>
internal readonly record struct InputSince(ReadingRow? Row, RunInput? Input);
