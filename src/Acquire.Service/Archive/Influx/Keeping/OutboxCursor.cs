using Acquire.Service.Archive.Influx.Feeding;
using Acquire.Service.Archive.Influx.Lines;

namespace Acquire.Service.Archive.Influx.Keeping;

/// <summary>How far a run was acknowledged by the server.</summary>
/// <param name="Run">Number of the run.</param>
/// <param name="RunId">Its id: where another run has the number, the archive was exchanged.</param>
/// <param name="Rows">Where to go on in its rows.</param>
/// <param name="Events">Facts acknowledged.</param>
/// <param name="Results">Results acknowledged.</param>
internal sealed record OutboxCursor(long Run, string RunId, RowPlace Rows, long Events, long Results)
{
    /// <summary>Nothing of the run was acknowledged yet.</summary>
    public static OutboxCursor Begin(FeedRun run) => new(run.Number, run.Id, default, 0, 0);

    /// <summary>Whether the server has everything that is archived of the run.</summary>
    public bool Has(FeedRun run) => Rows.Row >= run.Rows && Events >= run.Events && Results >= run.Results;

    /// <summary>Whether the archive holds less than was acknowledged: it was put back to an older state, and what it says since is something else.</summary>
    public bool IsAhead(FeedRun run) => Rows.Row > run.Rows || Events > run.Events || Results > run.Results;

    /// <summary>Records of a kind that were acknowledged.</summary>
    public long Acknowledged(LineKind kind) => kind switch { LineKind.Reading => Rows.Row, LineKind.Event => Events, _ => Results };
}
