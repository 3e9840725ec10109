using Acquire.Core.Runs;

namespace Acquire.Simulator;

/// <summary>The person beside a driven block: cleans the cup after each test, and charges a fresh test portion when the run asks for one.</summary>
/// <remarks>Some seconds from being asked to charging, and 30 to 50 s to clean; assumed.</remarks>
internal sealed class PortionPerson(SimulatorRandom random)
{
    private double cleanAtSeconds = double.NaN;
    private double chargesAtSeconds = double.NaN;

    /// <summary>Lets time go by. The volume of a portion that is charged now, mL; null where none is.</summary>
    /// <param name="seconds">Time, s.</param>
    /// <param name="status">What the run says.</param>
    /// <param name="cup">The cup.</param>
    public double? Step(double seconds, RunStatus status, DrivenCup cup)
    {
        if (status.Phase == RunPhase.ClearingCup && cup.IsCharged && double.IsNaN(cleanAtSeconds))
        {
            cleanAtSeconds = seconds + random.Between(30, 50);
        }

        if (seconds >= cleanAtSeconds)
        {
            cleanAtSeconds = double.NaN;
            cup.Clear();
        }

        if (status is not { Phase: RunPhase.AwaitingPortion, Portions: { } wanted } || cup.IsCharged)
        {
            chargesAtSeconds = double.NaN;
            return null;
        }

        chargesAtSeconds = double.IsNaN(chargesAtSeconds) ? seconds + random.Between(3, 8) : chargesAtSeconds;
        if (seconds < chargesAtSeconds)
        {
            return null;
        }

        cup.Charge(wanted.Millilitres);
        return wanted.Millilitres;
    }
}
