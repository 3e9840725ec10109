using Acquire.Core.Methods;

namespace Acquire.Simulator;

/// <summary>What one heated cup is made of. Heat capacities in J/K, conductances in W/K, times in s; shares multiply the losses of <see cref="Apparatus"/>.</summary>
internal sealed record HeatFigures
{
    /// <summary>What the heater warms: the plate, or the bath with its heater.</summary>
    public double BodyCapacity { get; init; } = Apparatus.PlateCapacity;

    public double CupCapacity { get; init; } = Apparatus.CupCapacity;

    public double BodyToCup { get; init; } = Apparatus.PlateToCup;

    /// <summary>Quantity of the test portion, 1 for 70 mL.</summary>
    public double OilShare { get; init; } = 1;

    public double BodyLossShare { get; init; } = 1;

    public double CupLossShare { get; init; } = 1;

    public double OilLossShare { get; init; } = 1;

    public double HeaterLagSeconds { get; init; } = Apparatus.HeaterLagSeconds;

    public double HeaterDeadSeconds { get; init; } = Apparatus.HeaterDeadSeconds;

    /// <summary>Step of the calculation, s.</summary>
    public double StepSeconds { get; init; } = HeatModel.StepSeconds;

    /// <summary>The tester that plays a script.</summary>
    public static HeatFigures Scripted(HeatingKind heating) => new()
    {
        BodyLossShare = Apparatus.OpenShare(heating),
        CupLossShare = Apparatus.OpenShare(heating),
    };
}
