using System.Diagnostics.CodeAnalysis;
using Acquire.Core.Methods;
using Acquire.Core.Results;

namespace Acquire.Simulator;

/// <summary>The situations that are part of the program.</summary>
public static class SituationCatalog
{
    /// <summary>All, in the order in which they are best learnt.</summary>
    public static IReadOnlyList<Situation> All { get; } = [.. FlashSituations.All, .. DetectorSituations.All, .. CupSituations.All, .. HazardSituations.All, .. RecordSituations.All];

    /// <summary>Finds one by its name.</summary>
    public static bool TryFind(string? name, [NotNullWhen(true)] out Situation? situation)
    {
        situation = All.FirstOrDefault(one => one.Name == name);
        return situation is not null;
    }

    /// <summary>An invented base oil in a Cleveland cup: flash point 226 °C, as expected; only the flash point is wanted.</summary>
    internal static SimulatorOptions BaseOil(params Disturbance[] disturbances) => new()
    {
        Method = Method("iso-2592-2017"),
        FlashCelsius = 226,
        Disturbances = disturbances,
    };

    /// <summary>An invented fuel in a Pensky-Martens cup: flash point 62 °C.</summary>
    internal static SimulatorOptions Fuel(params Disturbance[] disturbances) => new()
    {
        Method = Method("iso-2719-2016-a"),
        FlashCelsius = 62,
        Disturbances = disturbances,
    };

    /// <summary>A conclusion with one right verdict.</summary>
    internal static ExpectedConclusion Expect(Verdict verdict, ExpectedFlash flash, params string[] codes) => new([verdict], flash, codes);

    private static MethodDefinition Method(string id) => MethodCatalog.TryFind(id, out var method) ? method : throw new InvalidOperationException($"the method {id} is missing");
}
