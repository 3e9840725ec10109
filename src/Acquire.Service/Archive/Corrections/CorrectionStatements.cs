using Acquire.Service.Archive.Chain;
using Acquire.Service.Archive.Database;

namespace Acquire.Service.Archive.Corrections;

/// <summary>Adds what is corrected and approved after a run was closed. Used by the writer's thread only.</summary>
internal sealed class CorrectionStatements(RecordStatements records)
{
    /// <summary>How many records of a kind the run has.</summary>
    public int Count(RecordKind kind, long run) => records.Count(kind, run);

    /// <summary>Adds a correction.</summary>
    public void Insert(long run, RunCorrection correction)
    {
        ReadOnlySpan<object?> values =
        [
            run, correction.Number, ArchiveStatements.Utc(correction.At), correction.Person, ArchiveJson.Word(correction.Field), correction.OldValue, correction.NewValue, correction.Reason,
        ];
        records.Insert(RecordKind.Correction, run, correction.Number, values);
    }

    /// <summary>Adds a result that follows from a correction.</summary>
    public void Insert(long run, LaterResult later)
    {
        ReadOnlySpan<object?> values =
        [
            run, later.Number, later.Correction, ArchiveStatements.Utc(later.At), later.SoftwareVersion, later.Repeats ? 1 : 0,
            ArchiveStatements.Word(later.Result.Verdict), later.Result.Flash?.ReportedCelsius, later.Result.Fire?.ReportedCelsius, ArchiveJson.Write(later.Result),
        ];
        records.Insert(RecordKind.Result, run, later.Number, values);
    }

    /// <summary>Adds an approval.</summary>
    public void Insert(long run, RunApproval approval) =>
        records.Insert(RecordKind.Approval, run, approval.Number, [run, approval.Number, ArchiveStatements.Utc(approval.At), approval.Person, approval.Corrections]);
}
