using Acquire.Core.Readings;
using Acquire.Core.Results;

namespace Acquire.Core.Thermometry;

/// <summary>A fault of a thermometer that makes its readings bad.</summary>
/// <param name="Index">Place in <see cref="ThermometerFaults.All"/>.</param>
/// <param name="Mark">Mark on each reading.</param>
/// <param name="Code">Code of its alarm and of its finding.</param>
/// <param name="Text">What is wrong and what to look at.</param>
public sealed record ThermometerFault(int Index, ReadingMarks Mark, string Code, string Text);

/// <summary>The faults of a thermometer, each with its own code, which is that of its alarm and of its finding.</summary>
public static class ThermometerFaults
{
    /// <summary>All of them.</summary>
    public static IReadOnlyList<ThermometerFault> All { get; } = Number(
    [
        (ReadingMarks.OpenCircuit, FindingCodes.ThermometerOpenCircuit),
        (ReadingMarks.ShortCircuit, FindingCodes.ThermometerShortCircuit),
        (ReadingMarks.ReversedPolarity, FindingCodes.ThermometerReversed),
        (ReadingMarks.Stuck, FindingCodes.ThermometerStuck),
        (ReadingMarks.ImpossibleJump, FindingCodes.TemperatureJump),
        (ReadingMarks.OutOfRange, FindingCodes.ThermometerOutOfRange),
        (ReadingMarks.ConverterSaturated, FindingCodes.ConverterSaturated),
        (ReadingMarks.Stale, FindingCodes.ThermometerStale),
        (ReadingMarks.JunctionMissing, FindingCodes.JunctionMissing),
        (ReadingMarks.TransmitterFailure, FindingCodes.TransmitterFailure),
    ]);

    private static ThermometerFault[] Number((ReadingMarks Mark, string Code)[] faults) =>
        [.. faults.Select((fault, index) => new ThermometerFault(index, fault.Mark, fault.Code, $"{ReadingMarkWords.Of(fault.Mark).Sentence} {ReadingMarkWords.Caution}"))];
}
