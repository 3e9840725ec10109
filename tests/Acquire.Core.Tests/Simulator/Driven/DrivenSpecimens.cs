using Acquire.Core.Methods;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator.Driven;

/// <summary>Driven testers with invented specimens.</summary>
internal static class DrivenSpecimens
{
    /// <summary>The usual tester for a method, with a specimen.</summary>
    public static DrivenOptions Of(string methodId, double flashCelsius, ulong seed = 1)
    {
        Assert.True(MethodCatalog.TryFind(methodId, out var method));
        return DrivenOptions.For(new SimulatorOptions
        {
            Method = method,
            FlashCelsius = flashCelsius,
            FireCelsius = method.FirePoint.Determined ? flashCelsius + 26 : null,
            Seed = seed,
        });
    }

    /// <summary>A cup on its plate without any loss, and with a specimen that gives off no vapour worth its heat.</summary>
    public static DrivenOptions WithoutLoss() =>
        Of("iso-2592-2017", 390) is var usual ? usual with { Plant = usual.Plant with { Loss = 0 }, Run = usual.Run with { StartCelsius = 25, AmbientCelsius = 25 } } : throw new InvalidOperationException();

    /// <summary>Steps a cup for so long; the rows on the way.</summary>
    public static List<Core.Readings.ReadingRow> Run(this DrivenCup cup, double seconds, Obedience does)
    {
        var rows = new List<Core.Readings.ReadingRow>();
        for (var until = cup.Seconds + seconds - 0.005; cup.Seconds < until;)
        {
            if (cup.Step(does) is { } row)
            {
                rows.Add(row);
            }
        }

        return rows;
    }
}
