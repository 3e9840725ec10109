using Acquire.Core.Readings;

namespace Acquire.Simulator;

/// <summary>A wire on which a simulated tester says its readings, paced as a real one would.</summary>
public interface ISpeaker
{
    /// <summary>Says every row at its time and returns after the last; a wire that is down is waited for, and no row is left out.</summary>
    /// <param name="rows">The rows in order of time; a <see cref="SimulatedRun"/> is such rows.</param>
    /// <param name="speed">How many seconds of the rows pass in one second, 1 to 60; see <see cref="SpeakingSpeed"/>.</param>
    /// <param name="cancellationToken">Ends the speaking; rows not yet said are dropped.</param>
    /// <exception cref="ArgumentOutOfRangeException">The speed is out of range.</exception>
    Task SpeakAsync(IEnumerable<ReadingRow> rows, double speed, CancellationToken cancellationToken);
}
