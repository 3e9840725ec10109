using Acquire.Core.Control;

namespace Acquire.Simulator;

/// <summary>The rule of a driven tester, bent by its faults.</summary>
internal sealed class FaultyRule(IReadOnlyList<TesterFault> faults, ulong seed)
{
    private readonly TesterRule rule = new();
    private readonly SimulatorRandom random = new(seed, RandomPurpose.TesterFaults);
    private readonly Queue<(double FromSeconds, DriveCommand Command)> late = new();
    private double stuckPower;

    /// <summary>The rule beneath.</summary>
    public TesterRule Rule => rule;

    /// <summary>Commands lost by <see cref="TesterFaultKind.DropsCommands"/>.</summary>
    public long Dropped { get; private set; }

    /// <summary>A command arrives.</summary>
    public void Receive(DriveCommand command, double clockSeconds, double cupSeconds)
    {
        if (Now(TesterFaultKind.DropsCommands, cupSeconds) is { } drops && random.NextUnit() < drops.Value)
        {
            Dropped++;
        }
        else if (Now(TesterFaultKind.ObeysLate, cupSeconds) is { } slow)
        {
            late.Enqueue((clockSeconds + slow.Value, command));
        }
        else
        {
            rule.Take(command, clockSeconds);
        }
    }

    /// <summary>What the tester does, and says that it does.</summary>
    public Obedience At(double clockSeconds, double cupSeconds)
    {
        while (late.TryPeek(out var next) && clockSeconds >= next.FromSeconds)
        {
            late.Dequeue();
            rule.Take(next.Command, next.FromSeconds);
        }

        var does = rule.At(clockSeconds);

        // Contacts that weld stay as they were: from then on the heater never gets less.
        var sticks = Has(TesterFaultKind.StuckRelay, cupSeconds);
        stuckPower = sticks && stuckPower > 0 ? stuckPower : does.HeaterFraction;
        return does with
        {
            Command = Has(TesterFaultKind.NeverAcknowledges, cupSeconds) ? null : does.Command,
            HeaterFraction = sticks ? Math.Max(does.HeaterFraction, stuckPower) : does.HeaterFraction,
            FlameOver = does.FlameOver && !Has(TesterFaultKind.IgnoresFlame, cupSeconds),
        };
    }

    /// <summary>Whether a fault is there at a moment of the cup.</summary>
    public bool Has(TesterFaultKind kind, double cupSeconds) => Now(kind, cupSeconds) is not null;

    private TesterFault? Now(TesterFaultKind kind, double cupSeconds)
    {
        foreach (var fault in faults)
        {
            if (fault.Kind == kind && cupSeconds >= fault.StartSeconds)
            {
                return fault;
            }
        }

        return null;
    }
}
