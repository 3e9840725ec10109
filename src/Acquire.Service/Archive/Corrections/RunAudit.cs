using System.Globalization;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Service.Archive.Bundles;
using Acquire.Service.Archive.Keeping;

namespace Acquire.Service.Archive.Corrections;

/// <summary>One correction of a closed run: a record of its own; what it corrects stays as it was.</summary>
/// <param name="Number">Which of the run's corrections, from 1.</param>
/// <param name="At">When, UTC.</param>
/// <param name="Person">Who answers for it.</param>
/// <param name="Field">What is corrected.</param>
/// <param name="OldValue">What stood there before, °C or kPa for numbers; null where nothing did.</param>
/// <param name="NewValue">What is to stand there, °C or kPa for numbers.</param>
/// <param name="Reason">Why.</param>
public sealed record RunCorrection(int Number, DateTimeOffset At, string Person, CorrectedField Field, string? OldValue, string NewValue, string Reason);

/// <summary>A result that follows from a correction. The results before it stay readable.</summary>
/// <param name="Number">Which of the run's later results, from 1.</param>
/// <param name="Correction">Number of the correction that it follows from.</param>
/// <param name="At">When it was judged, UTC.</param>
/// <param name="SoftwareVersion">Version of the program that judged it.</param>
/// <param name="Repeats">Whether that program, told what was known before the correction, comes to the result before it. Where false, more than the correction is in the difference: the program judges otherwise than the one that judged before.</param>
/// <param name="Result">The result.</param>
public sealed record LaterResult(int Number, int Correction, DateTimeOffset At, string SoftwareVersion, bool Repeats, RunResult Result);

/// <summary>That somebody answers for a closed run as it then stood.</summary>
/// <param name="Number">Which of the run's approvals, from 1.</param>
/// <param name="At">When, UTC.</param>
/// <param name="Person">Who.</param>
/// <param name="Corrections">How many corrections the run then had.</param>
public sealed record RunApproval(int Number, DateTimeOffset At, string Person, int Corrections);

/// <summary>What was added to a run after it was closed, each in order.</summary>
/// <param name="Corrections">The corrections.</param>
/// <param name="Results">The results that follow from them.</param>
/// <param name="Approvals">The approvals.</param>
/// <param name="OriginalResult">The result that the run was closed with, where a later one has taken its place; null elsewhere.</param>
public sealed record RunAudit(IReadOnlyList<RunCorrection> Corrections, IReadOnlyList<LaterResult> Results, IReadOnlyList<RunApproval> Approvals, RunResult? OriginalResult = null)
{
    /// <summary>Holds and releases, in order.</summary>
    public IReadOnlyList<RunHold> Holds { get; init; } = [];

    /// <summary>Whether the run is to be kept whatever its age.</summary>
    public bool OnHold => Holds.Count > 0 && Holds[^1].Held;

    /// <summary>Nothing was added.</summary>
    public static RunAudit Empty { get; } = new([], [], []);

    /// <summary>How the run came here from other archives, the newest last; empty for a run that was made here.</summary>
    public IReadOnlyList<RunImport> Imports { get; init; } = [];

    /// <summary>The newest remark; null where there is none.</summary>
    public string? Remark => Newest(CorrectedField.Remark);

    /// <summary>Whether the newest approval covers all corrections.</summary>
    public bool Approved => Approvals.Count > 0 && Approvals[^1].Corrections == Corrections.Count;

    /// <summary>The plan with what was corrected in it.</summary>
    public RunPlan Plan(RunPlan original)
    {
        ArgumentNullException.ThrowIfNull(original);
        return original with
        {
            ExpectedFlashCelsius = Number(CorrectedField.ExpectedFlash) ?? original.ExpectedFlashCelsius,
            StationPressureKilopascals = Number(CorrectedField.StationPressure) ?? original.StationPressureKilopascals,
        };
    }

    /// <summary>What a field was last corrected to; null where it never was.</summary>
    internal string? Newest(CorrectedField field) => Corrections.LastOrDefault(correction => correction.Field == field)?.NewValue;

    /// <summary>A number as it is stored.</summary>
    internal static string Stored(double value) => value.ToString("R", CultureInfo.InvariantCulture);

    private double? Number(CorrectedField field) => Newest(field) is { } text ? double.Parse(text, CultureInfo.InvariantCulture) : null;
}
