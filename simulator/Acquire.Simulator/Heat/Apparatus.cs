namespace Acquire.Simulator;

/// <summary>Figures of the heated cup. Heat capacities in J/K, conductances in W/K, areas in m², temperatures in °C.</summary>
/// <remarks>
/// Masses, contact and film coefficients are assumed, typical of a Cleveland cup on a hot plate; no published lumped model with fitted values was found.
/// Specific heats: brass 385 J/(kg K), steel 450 J/(kg K), handbook values from memory.
/// </remarks>
internal static class Apparatus
{
    /// <summary>Plate: 0.60 kg of steel.</summary>
    public const double PlateCapacity = 270;

    /// <summary>Cup: 0.35 kg of brass.</summary>
    public const double CupCapacity = 135;

    /// <summary>Plate to cup: 33 cm² at about 2500 W/(m² K).</summary>
    public const double PlateToCup = 8;

    /// <summary>Cup to oil: 98 cm² at about 160 W/(m² K).</summary>
    public const double CupToOil = 1.6;

    /// <summary>Heater element: first-order lag, s, and dead time, s.</summary>
    public const double HeaterLagSeconds = 5, HeaterDeadSeconds = 4;

    /// <summary>Largest heater power, W.</summary>
    public const double HeaterWatts = 700;

    /// <summary>Heat that a burning surface gives back to the oil, W: about 4 kW/m² is left of a small pool fire after evaporation; value assumed.</summary>
    public const double BurningWatts = 12;

    private const double StefanBoltzmann = 5.670374419e-8;

    /// <summary>Heat capacity of 70 mL of mineral oil, 880 kg/m³ at 15 °C, c_p = 1.8 + 0.0037 (t - 15) J/(g K): typical, assumed.</summary>
    public static double OilCapacity(double celsius) => 0.070 * 880 * (1.8 + (0.0037 * (celsius - 15)));

    /// <summary>Loss of the plate to the room, W.</summary>
    public static double PlateLoss(double celsius, double ambientCelsius) => Loss(0.018, 0.6, celsius, ambientCelsius);

    /// <summary>Loss of the cup's side, W.</summary>
    public static double CupLoss(double celsius, double ambientCelsius) => Loss(7.5e-3, 0.4, celsius, ambientCelsius);

    /// <summary>Loss of the oil's surface, 63.5 mm across, W.</summary>
    public static double OilLoss(double celsius, double ambientCelsius) => Loss(3.17e-3, 0.93, celsius, ambientCelsius);

    /// <summary>Laminar natural convection, h = 7 W/(m² K) at 100 K excess (handbook form, value from memory), plus radiation.</summary>
    private static double Loss(double area, double emissivity, double celsius, double ambientCelsius)
    {
        var excess = celsius - ambientCelsius;
        var quarter = Math.Sqrt(Math.Sqrt(Math.Abs(excess) / 100));
        var hot = celsius + 273.15;
        var cold = ambientCelsius + 273.15;
        return area * ((7 * quarter * excess) + (emissivity * StefanBoltzmann * ((hot * hot * hot * hot) - (cold * cold * cold * cold))));
    }
}
