using Acquire.Core;
using Acquire.Core.Readings;

namespace Acquire.Simulator;

/// <summary>Everything that decides a driven tester besides the commands it gets. Equal options, and equal commands at equal times, give equal rows.</summary>
public sealed record DrivenOptions
{
    /// <summary>Specimen, method, room, thermometer, detector, seed. Its lead-in, its cooling and what spoils a script have no meaning here; it has a flame signal.</summary>
    public required SimulatorOptions Run { get; init; }

    /// <summary>Heater, cup and bath.</summary>
    public required DrivenPlant Plant { get; init; }

    /// <summary>From the command until the test flame is there, s, 0.05 to 2; each time a little more or less.</summary>
    public double ReactionSeconds { get; init; } = 0.2;

    /// <summary>Whether, in an equilibrium procedure, a clean cup with a fresh test portion is there whenever it may be asked for: on a wire nobody tells the tester that one was charged.</summary>
    public bool PortionsComeByThemselves { get; init; }

    /// <summary>What is wrong with the tester; at most 20.</summary>
    public IReadOnlyList<TesterFault> Faults { get; init; } = [];

    /// <summary>The usual tester for a run.</summary>
    public static DrivenOptions For(SimulatorOptions run)
    {
        ArgumentNullException.ThrowIfNull(run);
        return new() { Run = run, Plant = DrivenPlant.For(run.Method) };
    }

    /// <summary>What is out of range, option by option; empty when there can be such a tester.</summary>
    public IReadOnlyList<InputError> Check()
    {
        var errors = new List<InputError>(Run.Check());
        errors.AddRange(Plant.Check("plant"));
        DrivenPlant.Within(errors, "reactionSeconds", ReactionSeconds, 0.05, 2);
        if (Run is not { Excursion: null, ControlledRateCelsiusPerMinute: null, TimestampJitterSeconds: 0, HasFlameSignal: true })
        {
            errors.Add(new("run", "a driven tester has a flame signal and no rate, excursion or jitter of its own"));
        }

        if (Run.Bench.Channels != RowChannels.None)
        {
            errors.Add(new("bench.channels", "a driven tester tells of its commands and its heater, and of nothing else beside the cup"));
        }

        if (Run.Disturbances.Count > 0)
        {
            errors.Add(new("disturbances", "are for a tester that is not driven"));
        }

        if (Run is not { TwoDetectors: false, Detector: DetectorKind.Plain })
        {
            errors.Add(new("twoDetectors", "a driven tester has one detector, of no stated kind"));
        }

        if (Run.RowsPerSecond is not (10 or 20 or 25 or 50 or 100))
        {
            errors.Add(new("rowsPerSecond", FormattableString.Invariant($"{Run.RowsPerSecond} is none of 10, 20, 25, 50 and 100, which a driven tester may have")));
        }

        if (Faults.Count > 20)
        {
            errors.Add(new("faults", $"{Faults.Count} faults are more than 20"));
        }

        errors.AddRange(Faults.SelectMany((fault, index) => fault.Check($"faults[{index}]")));
        return errors;
    }

    /// <summary>Throws where <see cref="Check"/> finds something.</summary>
    internal void Require()
    {
        var errors = Check();
        if (errors.Count > 0)
        {
            throw new ArgumentException(string.Join("; ", errors));
        }
    }
}
