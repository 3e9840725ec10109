namespace Acquire.Service.Archive;

/// <summary>The archive cannot be opened as asked; nothing was changed. The message says why and what to do.</summary>
public class ArchiveRefusedException(string message, Exception? innerException = null) : Exception(message, innerException);

/// <summary>The archive could not be written. What was to be written is not in the record; the caller may try again.</summary>
public sealed class ArchiveUnavailableException(string message, Exception? innerException = null) : Exception(message, innerException);

/// <summary>Stored bytes are not what was written.</summary>
public sealed class ArchiveCorruptException : Exception
{
    /// <param name="runId">Run whose record is damaged.</param>
    /// <param name="part">What of it, such as `chunk 3` or `event 12`.</param>
    /// <param name="fault">What is wrong.</param>
    /// <param name="innerException">Where the fault was noticed.</param>
    public ArchiveCorruptException(string runId, string part, string fault, Exception? innerException = null)
        : base($"The record of run '{runId}' is damaged at {part}: {fault}. Restore the archive from a copy, or export what is before it.", innerException)
    {
        RunId = runId;
        Part = part;
        Fault = fault;
    }

    /// <summary>Run whose record is damaged.</summary>
    public string RunId { get; }

    /// <summary>What of it, such as `chunk 3` or `event 12`.</summary>
    public string Part { get; }

    /// <summary>What is wrong with it.</summary>
    public string Fault { get; }

    /// <summary>What of the record is damaged, and how, where the run is named beside it.</summary>
    public string Words => $"{Part}: {Fault}";
}

/// <summary>There is a file, and nothing is in it: no table, no record.</summary>
/// <param name="message">What was found, and what to do.</param>
public sealed class ArchiveEmptyException(string message) : ArchiveRefusedException(message);
