namespace Acquire.Service.Archive.Influx.Lines;

/// <summary>What of a run a line is made of.</summary>
internal enum LineKind
{
    /// <summary>A row of readings; its number is its index in the run.</summary>
    Reading,

    /// <summary>A fact; its number is its sequence.</summary>
    Event,

    /// <summary>The result: 0 as the run was closed, n as it stood after correction n.</summary>
    Result,
}

/// <summary>Which record a line is made of.</summary>
/// <param name="Run">Number of the run in the archive.</param>
/// <param name="RunId">Its id.</param>
/// <param name="Kind">What of it.</param>
/// <param name="Index">Which one, from 0.</param>
internal readonly record struct LineOf(long Run, string RunId, LineKind Kind, long Index);
