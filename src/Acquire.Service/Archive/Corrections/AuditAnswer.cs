using Acquire.Core;

namespace Acquire.Service.Archive.Corrections;

/// <summary>What became of a correction or an approval.</summary>
public enum AuditOutcome
{
    /// <summary>It is in the record.</summary>
    Done,

    /// <summary>There is no such run.</summary>
    NoRun,

    /// <summary>It cannot be what was asked for.</summary>
    Wrong,

    /// <summary>The person may not.</summary>
    Forbidden,

    /// <summary>The run does not stand so that it could be done.</summary>
    Conflict,

    /// <summary>The archive could not be written, or read; nothing was recorded.</summary>
    Unavailable,
}

/// <summary>What became of a correction or an approval.</summary>
/// <param name="Outcome">What.</param>
/// <param name="Errors">Why not; empty where it was done.</param>
public sealed record AuditAnswer(AuditOutcome Outcome, IReadOnlyList<InputError> Errors)
{
    internal static AuditAnswer Done { get; } = new(AuditOutcome.Done, []);

    internal static AuditAnswer No(AuditOutcome outcome, string path, string message) => new(outcome, [new(path, message)]);
}
