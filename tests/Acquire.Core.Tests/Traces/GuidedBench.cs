using Acquire.Core.Readings;
using Acquire.Core.Runs;

namespace Acquire.Core.Tests.Traces;

/// <summary>A person at the cup, who answers each prompt after a while with what the specimen does at its temperature.</summary>
/// <remarks>No detector, no flame signal: the rows hold the thermometer alone. All figures are ours: common practice, no source.</remarks>
internal sealed record GuidedBench
{
    private static readonly BenchTrace Usual = new() { PerSecond = 10, FlashCelsius = null, FireCelsius = null, HottestCelsius = 244, HasFlame = false, Seed = 71 };

    /// <summary>The heated cup.</summary>
    public BenchTrace Heated { get; init; } = Usual;

    public double FlashCelsius { get; init; } = 225.5;

    public double FireCelsius { get; init; } = 235.5;

    /// <summary>From the prompt to the key, s.</summary>
    public double AnswerSeconds { get; init; } = 4.037;

    /// <summary>How long the fire burns until its end is keyed in, s; null: it is not.</summary>
    public double? BurnSeconds { get; init; } = 8.011;

    /// <summary>Prompts that are not answered.</summary>
    public IReadOnlyList<int> Unanswered { get; init; } = [];

    /// <summary>What is keyed in below the flash point.</summary>
    public Sighting Before { get; init; } = Sighting.Nothing;

    /// <summary>A change of the readings before they are judged.</summary>
    public Func<ReadingRow, ReadingRow> Row { get; init; } = row => row with { Present = RowChannels.Temperature };

    public RunPlan Plan { get; init; } = Usual.Plan with { Mode = RunMode.Guided };

    public IEnumerable<ReadingRow> Rows => Heated.Make().Rows.Select(Row);

    /// <summary>Works the cup from start to end.</summary>
    /// <param name="between">What else is done to the state after each row, such as saving and loading it.</param>
    public Judged Work(Func<RunState, RunState>? between = null)
    {
        var state = RunSupervisor.Begin(Plan);
        var outputs = new List<RunOutput>();
        var keys = new Queue<(double At, Sighting? Seen)>();
        foreach (var row in Rows)
        {
            while (keys.TryPeek(out var key) && key.At < row.AtSeconds)
            {
                keys.Dequeue();
                var seen = key.Seen ?? Sees(state, Plan);
                RunSupervisor.Step(state, Plan, RunInput.Observation(key.At, seen), outputs);
                if (seen == Sighting.Burning && BurnSeconds is { } seconds)
                {
                    keys.Enqueue((key.At + seconds, Sighting.WentOut));
                }
            }

            var before = outputs.Count;
            RunSupervisor.Step(state, Plan, row, outputs);
            foreach (var prompt in outputs.Skip(before).OfType<ApplicationPrompted>().Where(prompt => !Unanswered.Contains(prompt.Number)))
            {
                keys.Enqueue((prompt.AtSeconds + AnswerSeconds, null));
            }

            state = between?.Invoke(state) ?? state;
        }

        RunSupervisor.Step(state, Plan, RunInput.Stop(state.AtSeconds), outputs);
        return new(state.Result!, outputs);
    }

    private Sighting Sees(RunState state, RunPlan plan)
    {
        var celsius = RunSupervisor.Status(state, plan).TemperatureCelsius;
        return celsius >= FireCelsius ? Sighting.Burning : celsius >= FlashCelsius ? Sighting.Flash : Before;
    }
}
