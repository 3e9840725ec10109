using Acquire.Core.Alarms;
using Acquire.Core.Methods;
using Acquire.Core.Results;
using Acquire.Simulator;

namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>A disturbance that by its nature forbids a right answer, and what must then be said.</summary>
/// <param name="Name">What it is.</param>
/// <param name="Expected">What must be concluded.</param>
/// <param name="Make">The disturbance, from what happens in the same run without it.</param>
internal sealed record ForbiddenRow(string Name, ExpectedConclusion Expected, Func<SimulatedTruth, Disturbance> Make)
{
    /// <summary>One detector or two; null for both in turn.</summary>
    public bool? Two { get; init; }

    /// <summary>The methods that are played, in turn.</summary>
    public IReadOnlyList<MethodDefinition> Methods { get; init; } = RunDraw.Methods;

    /// <summary>An alarm that must be raised within so many seconds of each time that the disturbance came; null for none.</summary>
    public (string Code, double WithinSeconds)? Alarm { get; init; }

    /// <summary>What must be concluded, in words.</summary>
    public string Words => Alarm is { } alarm ? FormattableString.Invariant($"{Expected}, alarm {alarm.Code} within {alarm.WithinSeconds} s") : $"{Expected}";
}

/// <summary>The table of such disturbances.</summary>
internal static class ForbiddenRows
{
    private static readonly Verdict[] Any = [Verdict.Valid, Verdict.Doubtful, Verdict.Invalid];
    private static readonly Verdict[] NotValid = [Verdict.Doubtful, Verdict.Invalid];

    public static IReadOnlyList<ForbiddenRow> All { get; } =
    [
        Row(DisturbanceKind.FlameOut, new([Verdict.Invalid], ExpectedFlash.None, [FindingCodes.NoFlash])),
        new("`flame-out` from the middle of the series on", new([Verdict.Invalid], ExpectedFlash.None, [FindingCodes.NoFlash]), truth => new(DisturbanceKind.FlameOut, null, Midway(truth))),
        Row(DisturbanceKind.Saturation, new(Any, ExpectedFlash.NeverWrong, [])),
        new("`sensor-break` in the middle of the series", new([Verdict.Invalid], ExpectedFlash.NeverWrong, []), truth => new(DisturbanceKind.SensorBreak, null, Midway(truth))),
        Row(DisturbanceKind.StuckRelay, new(NotValid, ExpectedFlash.NeverWrong, [])),
        Row(DisturbanceKind.SelfIgnition, new(NotValid, ExpectedFlash.NeverWrong, [FindingCodes.IgnitionWithoutFlame])) with { Name = "`self-ignition` while a fire point is awaited", Methods = [.. RunDraw.Methods.Where(method => method.FirePoint.Determined)], Alarm = Ignited },
        new("`self-ignition` 8 s after the flash that ends the determination", new(Any, ExpectedFlash.Found, []), truth => new(DisturbanceKind.SelfIgnition, null, truth.Flash!.TimeSeconds + 8)) { Methods = [.. RunDraw.Methods.Where(method => !method.FirePoint.Determined)], Alarm = Ignited },
        Row(DisturbanceKind.WaterPopping, new(Any, ExpectedFlash.NeverWrong, [])),
        new("`clock-jump` by 45 s", new(NotValid, ExpectedFlash.NeverWrong, [FindingCodes.DataGap]), truth => new(DisturbanceKind.ClockJump, 45, Midway(truth))),
        new("`clock-jump` by -10 s", new(NotValid, ExpectedFlash.NeverWrong, [FindingCodes.TimeNotForward]), truth => new(DisturbanceKind.ClockJump, -10, Midway(truth))),
        Row(DisturbanceKind.FastHalo, new(Any, ExpectedFlash.NeverWrong, [])) with { Name = "`fast-halo`, one detector", Two = false },
        Row(DisturbanceKind.FastHalo, new(Any, ExpectedFlash.NeverWrong, [])) with { Name = "`fast-halo`, two detectors", Two = true },
    ];

    private static (string, double) Ignited => (AlarmCodes.IgnitionWithoutFlame, 0.5);

    private static ForbiddenRow Row(DisturbanceKind kind, ExpectedConclusion expected) => new("`" + DisturbanceFacts.Of(kind).Word + "`", expected, _ => new(kind));

    // Between two passes, halfway to the flash.
    private static double Midway(SimulatedTruth truth)
    {
        var number = Math.Max(1, (truth.Flash?.ApplicationNumber ?? truth.Applications.Count) / 2);
        return truth.Applications[number - 1].TimeSeconds + 5;
    }
}
