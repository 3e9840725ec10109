namespace Acquire.Core.Runs;

/// <summary>Where an equilibrium run stands, for the person at the bench.</summary>
public sealed record PortionStatus
{
    /// <summary>Number of the portion that is in the cup or is to be charged next, from 1.</summary>
    public required int PortionNumber { get; init; }

    /// <summary>Temperature that the block is to have, °C.</summary>
    public required double SetCelsius { get; init; }

    /// <summary>How far it may be off, °C.</summary>
    public required double ToleranceCelsius { get; init; }

    /// <summary>Volume to charge, mL.</summary>
    public required double Millilitres { get; init; }

    /// <summary>How long the portion waits after charging, s.</summary>
    public required double WaitSeconds { get; init; }

    /// <summary>Time until the block has been steady for long enough, s; null while it is not at its temperature, and once a portion is charged.</summary>
    public double? SecondsToSteady { get; init; }

    /// <summary>Time until the application is due, s, 0 once it is; null where no portion waits.</summary>
    public double? SecondsToApplication { get; init; }

    /// <summary>Why the portion in the cup does not count, as a finding's code; null where it does.</summary>
    public string? Spoiled { get; init; }

    /// <summary>The tests so far.</summary>
    public required IReadOnlyList<PortionTest> Tests { get; init; }

    internal static PortionStatus? Of(RunState s, RunPlan plan)
    {
        if (!plan.IsEquilibrium || s.Portions.SetCelsius is not { } set)
        {
            return null;
        }

        var (rules, waiting) = (plan.Portions, s.Portions.Portion is { Tested: false } portion ? portion : null);
        var charge = rules.ChargeAt(set);
        return new()
        {
            PortionNumber = waiting?.Number ?? s.Portions.Charged + 1,
            SetCelsius = set,
            ToleranceCelsius = rules.Rules.BlockToleranceCelsius,
            Millilitres = charge.Millilitres,
            WaitSeconds = charge.WaitSeconds,
            SecondsToSteady = waiting is null && s.Phase != RunPhase.Cooling && s.Portions.SteadySince is { } since ? Math.Max(0, rules.Rules.SteadySeconds - (s.AtSeconds - since)) : null,
            SecondsToApplication = waiting is null ? null : Math.Max(0, waiting.DueAt - s.AtSeconds),
            Spoiled = waiting?.Spoiled,
            Tests = [.. s.Portions.Tests],
        };
    }
}
