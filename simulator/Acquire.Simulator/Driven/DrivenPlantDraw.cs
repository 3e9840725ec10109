using Acquire.Core.Methods;
using Acquire.Core.Runs;

namespace Acquire.Simulator;

/// <summary>Draws testers at random, for proofs over many of them.</summary>
public static class DrivenPlantDraw
{
    // How far beyond the expected flash point the heater must still be able to hold the ramp, °C.
    private const double BeyondCelsius = 30;

    // A block is to come to its temperature in reasonable time, °C/min.
    private const double BlockPerMinute = 6;

    /// <summary>A tester: metal ×0.35 to 2.4, test portion ×0.9 to 1.1, losses ×0.5 to 2, contacts ×0.7 to 1.4, bath 1000 to 4000 J/K, dead time 2 to 10 s, heater lag 3 to 10 s, heater 1.2 to 4 times as strong as needed. Equal seeds give equal testers.</summary>
    /// <param name="method">The method.</param>
    /// <param name="expectedFlashCelsius">Expected flash point, °C.</param>
    /// <param name="ambientCelsius">Temperature of the room, °C.</param>
    /// <param name="seed">Picks one tester.</param>
    public static DrivenPlant Draw(MethodDefinition method, double expectedFlashCelsius, double ambientCelsius, ulong seed)
    {
        var random = new SimulatorRandom(seed, RandomPurpose.Plant);
        var drawn = DrivenPlant.For(method) with
        {
            ThermalMass = Scale(random, 0.35, 2.4),
            Portion = random.Between(0.9, 1.1),
            Loss = Scale(random, 0.5, 2),
            Contact = Scale(random, 0.7, 1.4),
            BathJoulesPerKelvin = Scale(random, 1000, 4000),
            DeadTimeSeconds = random.Between(2, 10),
            HeaterLagSeconds = random.Between(3, 10),
        };
        return drawn with { MaxWatts = Math.Clamp(MostNeeded(drawn, method, expectedFlashCelsius, ambientCelsius) * Scale(random, 1.2, 4), 10, 10_000) };
    }

    /// <summary>The tester with a heater this many times as strong as the method needs at most.</summary>
    /// <param name="plant">The tester.</param>
    /// <param name="method">The method.</param>
    /// <param name="expectedFlashCelsius">Expected flash point, °C.</param>
    /// <param name="ambientCelsius">Temperature of the room, °C.</param>
    /// <param name="strength">How strong, 1 to 10.</param>
    public static DrivenPlant WithHeater(this DrivenPlant plant, MethodDefinition method, double expectedFlashCelsius, double ambientCelsius, double strength)
    {
        ArgumentNullException.ThrowIfNull(plant);
        return plant with { MaxWatts = Math.Clamp(MostNeeded(plant, method, expectedFlashCelsius, ambientCelsius) * strength, 10, 10_000) };
    }

    private static double MostNeeded(DrivenPlant plant, MethodDefinition method, double expectedFlashCelsius, double ambientCelsius)
    {
        if (method.Procedure == ProcedureKind.Equilibrium)
        {
            return plant.NeededWatts(expectedFlashCelsius + BeyondCelsius, BlockPerMinute, ambientCelsius);
        }

        var ramp = new RunRules(method, expectedFlashCelsius).Ramp;
        var controlled = (ramp.ControlledHeatingCelsiusPerMinute.From + ramp.ControlledHeatingCelsiusPerMinute.To) / 2;
        var last = plant.NeededWatts(expectedFlashCelsius + BeyondCelsius, controlled, ambientCelsius);
        return ramp is { FastHeatingCelsiusPerMinute: { } fast, EaseBelowExpectedCelsius: { } ease }
            ? Math.Max(last, plant.NeededWatts(expectedFlashCelsius - ease, Math.Max(fast.To - 2, (fast.From + fast.To) / 2), ambientCelsius))
            : last;
    }

    private static double Scale(SimulatorRandom random, double from, double to) => from * Math.Pow(to / from, random.NextUnit());
}
