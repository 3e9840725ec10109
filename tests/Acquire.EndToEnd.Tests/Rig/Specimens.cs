using Acquire.Core.Methods;
using Acquire.Simulator;
using Xunit;

namespace Acquire.EndToEnd.Tests.Rig;

/// <summary>Simulated specimens. All figures are invented.</summary>
internal static class Specimens
{
    /// <summary>How fast the testers speak: the most that the simulator offers.</summary>
    public const double Speed = SpeakingSpeed.Most;

    /// <summary>Largest difference between what is found and what happened, °C.</summary>
    public const double ToleranceCelsius = 2;

    /// <summary>One method by its id.</summary>
    public static MethodDefinition Method(string id)
    {
        Assert.True(MethodCatalog.TryFind(id, out var method));
        return method!;
    }

    /// <summary>A specimen with a fire point 26 °C above its flash point. The record ends before a run closes by itself, so that every row of it belongs to the run.</summary>
    public static SimulatorOptions Of(double flashCelsius, ulong seed, string method = "iso-2592-2017") => new()
    {
        Method = Method(method),
        FlashCelsius = flashCelsius,
        FireCelsius = flashCelsius + 26,
        Seed = seed,
        CoolingSeconds = 15,
    };

    /// <summary>Twenty specimens from 150 to 260 °C, by turns after both methods.</summary>
    public static SimulatorOptions OfSeed(int seed) =>
        Of(Math.Round(150 + ((seed - 1) * 110 / 19.0), 1), (ulong)seed, seed % 2 == 0 ? "astm-d92-18" : "iso-2592-2017");
}
