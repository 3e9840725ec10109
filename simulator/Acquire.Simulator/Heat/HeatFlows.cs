namespace Acquire.Simulator;

/// <summary>Heat flows of a cup at one moment, W.</summary>
internal readonly record struct HeatFlows
{
    /// <summary>From the heater into the body.</summary>
    public double HeaterWatts { get; init; }

    public double BodyToCupWatts { get; init; }

    public double CupToOilWatts { get; init; }

    /// <summary>From the body to the room, by convection and radiation.</summary>
    public double BodyLossWatts { get; init; }

    public double CupLossWatts { get; init; }

    public double OilLossWatts { get; init; }

    /// <summary>All that goes to the room.</summary>
    public double LossWatts => BodyLossWatts + CupLossWatts + OilLossWatts;
}
