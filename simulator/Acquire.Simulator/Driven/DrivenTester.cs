using Acquire.Core.Control;
using Acquire.Core.Readings;

namespace Acquire.Simulator;

/// <summary>A whole driven tester: its rule, its faults and its cup. Not for several threads at once.</summary>
/// <remarks>
/// It has two times. Its clock is what lifetimes are counted on, and never goes back. The cup's time is what its readings carry; it
/// runs faster than the clock where a demonstration is hurried.
/// </remarks>
public sealed class DrivenTester
{
    private readonly FaultyRule rule;
    private DrivenCup cup;
    private double cupFromSeconds;
    private double clockSeconds;
    private double cupSeconds;

    /// <summary>A tester at rest that obeys no command, both times at 0.</summary>
    /// <exception cref="ArgumentException">An option is out of range; <see cref="DrivenOptions.Check"/> says which without throwing.</exception>
    public DrivenTester(DrivenOptions options)
    {
        ArgumentNullException.ThrowIfNull(options);
        cup = new(options);
        rule = new(options.Faults, options.Run.Seed);
        Options = options;
    }

    /// <summary>What the tester is, with the test portion that is in it now.</summary>
    public DrivenOptions Options { get; private set; }

    /// <summary>The cup with the test portion that is in it now.</summary>
    public DrivenCup Cup => cup;

    /// <summary>The cup's time, s; it goes on from portion to portion.</summary>
    public double Seconds => cupFromSeconds + cup.Seconds;

    /// <summary>What it did in the newest step.</summary>
    public Obedience Does { get; private set; } = Obedience.None;

    /// <summary>Commands taken, refused for their number, and lost by a fault.</summary>
    public (long Taken, long Refused, long Dropped) Commands => (rule.Rule.Taken, rule.Rule.Refused, rule.Dropped);

    /// <summary>A command arrives.</summary>
    /// <param name="command">The command.</param>
    /// <param name="atClockSeconds">When, by the tester's clock, s.</param>
    public void Receive(DriveCommand command, double atClockSeconds) => rule.Receive(command, atClockSeconds, cupSeconds);

    /// <summary>Lets time go by up to a moment; the rows read on the way. Between the two calls both times run evenly.</summary>
    /// <param name="toCupSeconds">The moment in the cup's time, s.</param>
    /// <param name="toClockSeconds">The same moment by the clock, s.</param>
    public IReadOnlyList<ReadingRow> Advance(double toCupSeconds, double toClockSeconds)
    {
        var rows = new List<ReadingRow>();
        var (fromCup, fromClock) = (cupSeconds, clockSeconds);
        var pace = toCupSeconds > fromCup ? Math.Max(0, toClockSeconds - fromClock) / (toCupSeconds - fromCup) : 0;
        while (Seconds < toCupSeconds - (DrivenCup.StepSeconds / 2))
        {
            cupSeconds = Seconds;

            // To the nanosecond: sums of hundredths must not make a lifetime a step longer.
            Does = rule.At(Math.Round(fromClock + ((cupSeconds - fromCup) * pace), 9), cupSeconds);
            if (cup.Step(Does, rule.Has(TesterFaultKind.ThermometerOut, cupSeconds)) is { } row)
            {
                rows.Add(row with { AtSeconds = Math.Round(row.AtSeconds + cupFromSeconds, 2) });
            }
        }

        cupSeconds = Seconds;
        clockSeconds = Math.Max(clockSeconds, toClockSeconds);
        Does = rule.At(clockSeconds, cupSeconds);
        return rows;
    }

    /// <summary>A person puts in a fresh test portion, in a cup that has cooled meanwhile; the thermometer is taken over as it is.</summary>
    /// <param name="run">The specimen; what the tester is made of stays.</param>
    /// <exception cref="ArgumentException">An option is out of range.</exception>
    public void Refill(SimulatorOptions run)
    {
        var next = Options with { Run = run with { ThermometerStartCelsius = cup.ThermometerCelsius, JunctionStartCelsius = cup.JunctionCelsius } };
        var from = Seconds;
        cup = new(next);
        (Options, cupFromSeconds) = (next, from);
    }
}
