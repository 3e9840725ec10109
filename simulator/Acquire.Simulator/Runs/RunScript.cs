using Acquire.Core.Runs;

namespace Acquire.Simulator;

/// <summary>A run without noise: the thermometer at every step, the passes, everything the detector sees, and the truth about it.</summary>
internal sealed record RunScript(double[] ThermometerCelsius, IReadOnlyList<Pulse> Pulses, SimulatedTruth Truth)
{
    /// <summary>What a person enters beside the readings.</summary>
    public IReadOnlyList<PersonEntry> Entries { get; init; } = [];

    /// <summary>What disturbances did to cup and flame, in no order.</summary>
    public IReadOnlyList<DisturbanceEvent> Events { get; init; } = [];

    /// <summary>The thermometer between two steps, °C.</summary>
    public double ReadAt(double seconds)
    {
        var steps = Math.Clamp(seconds / HeatModel.StepSeconds, 0, ThermometerCelsius.Length - 1);
        var before = (int)steps;
        var after = Math.Min(before + 1, ThermometerCelsius.Length - 1);
        return ThermometerCelsius[before] + ((ThermometerCelsius[after] - ThermometerCelsius[before]) * (steps - before));
    }
}
