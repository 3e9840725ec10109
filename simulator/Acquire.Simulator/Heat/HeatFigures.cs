using Acquire.Core.Methods;

namespace Acquire.Simulator;

/// <summary>What one heated cup is made of: one record per kind of apparatus, for the tester that plays a script and the one that is driven. Heat capacities in J/K, conductances in W/K, times in s; shares multiply the losses of <see cref="Apparatus"/>.</summary>
internal sealed record HeatFigures
{
    /// <summary>An open cup on a plate.</summary>
    public static readonly HeatFigures OpenCup = new();

    /// <summary>A closed cup on a plate, with a stirrer: it makes 2.5 W/K of 1.6 from cup to oil, and the lid leaves two fifths of the surface's loss; both assumed.</summary>
    public static readonly HeatFigures ClosedCup = new() { StirredCupToOil = 2.5, OilLossShare = LidShare };

    /// <summary>A closed cup in a liquid bath with its jacket, whose vessel has 600 cm² over the 180 cm² of the plate; assumed. Its stirrer, if any, is slow.</summary>
    public static readonly HeatFigures Bath = new()
    {
        BodyCapacity = 2000,
        BodyLossShare = JacketShare * 600 / 180,
        CupLossShare = JacketShare,
        OilLossShare = LidShare,
    };

    /// <summary>A small brass cup with 2 mL of oil, deep in 1.3 kg of aluminium with fins, heated at up to some 19 °C/min; assumed.</summary>
    public static readonly HeatFigures Block = new()
    {
        BodyCapacity = 1200,
        CupCapacity = 60,
        BodyToCup = 10,
        CupToOil = 0.35,
        StirredCupToOil = 0.35,
        OilShare = 2.0 / 70,
        BodyLossShare = 3,
        CupLossShare = 0.02,
        OilLossShare = 0.005,
        HeaterWatts = 400,
    };

    // What a lid leaves of the loss of the oil's surface, and a jacket of what a bare plate and cup exchange with the room; assumed.
    private const double LidShare = 0.4, JacketShare = 0.2;

    /// <summary>What the heater warms: the plate, the bath with its heater, or the block.</summary>
    public double BodyCapacity { get; init; } = Apparatus.PlateCapacity;

    public double CupCapacity { get; init; } = Apparatus.CupCapacity;

    public double BodyToCup { get; init; } = Apparatus.PlateToCup;

    /// <summary>Cup to oil while nothing stirs.</summary>
    public double CupToOil { get; init; } = Apparatus.CupToOil;

    /// <summary>Cup to oil while the stirrer turns.</summary>
    public double StirredCupToOil { get; init; } = Apparatus.CupToOil;

    /// <summary>Quantity of the test portion, 1 for 70 mL.</summary>
    public double OilShare { get; init; } = 1;

    public double BodyLossShare { get; init; } = 1;

    public double CupLossShare { get; init; } = 1;

    public double OilLossShare { get; init; } = 1;

    public double HeaterLagSeconds { get; init; } = Apparatus.HeaterLagSeconds;

    public double HeaterDeadSeconds { get; init; } = Apparatus.HeaterDeadSeconds;

    /// <summary>Power of the heater, W.</summary>
    public double HeaterWatts { get; init; } = Apparatus.HeaterWatts;

    /// <summary>Step of the calculation, s.</summary>
    public double StepSeconds { get; init; } = HeatModel.StepSeconds;

    /// <summary>The tester that plays a script. Its bath is small and quick: a jacketed plate, so that the rate of the method is there soon.</summary>
    public static HeatFigures Scripted(MethodDefinition method)
    {
        var lid = method.Cup == CupKind.Closed ? LidShare : 1;
        return method.Heating == HeatingKind.Direct
            ? method.Cup == CupKind.Closed ? ClosedCup : OpenCup
            : OpenCup with { BodyLossShare = JacketShare, CupLossShare = JacketShare, OilLossShare = lid };
    }

    /// <summary>Cup to oil.</summary>
    public double Conductance(bool stirred) => stirred ? StirredCupToOil : CupToOil;
}
