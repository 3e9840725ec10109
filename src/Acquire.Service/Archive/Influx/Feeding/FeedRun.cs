using Acquire.Service.Archive.Influx.Lines;

namespace Acquire.Service.Archive.Influx.Feeding;

/// <summary>How far a run is archived, as of one look.</summary>
/// <param name="Number">Its number.</param>
/// <param name="Id">Its id.</param>
/// <param name="Tester">Tester that made it.</param>
/// <param name="Method">Method that ruled it.</param>
/// <param name="StartedAt">When it began, UTC.</param>
/// <param name="Scouting">Whether it only finds out what the next one may expect.</param>
/// <param name="Closed">Whether it was closed with a result.</param>
/// <param name="Interrupted">Whether it was given up without one.</param>
/// <param name="Rows">Rows archived.</param>
/// <param name="Events">Facts archived.</param>
/// <param name="Corrections">Corrections archived.</param>
internal sealed record FeedRun(
    long Number, string Id, string Tester, string Method, DateTimeOffset StartedAt, bool Scouting, bool Closed, bool Interrupted, long Rows, long Events, long Corrections)
{
    /// <summary>The tags of its points.</summary>
    public string Tags => field ??= PointWriter.Tags(this);

    /// <summary>Results there are to send: that of the closing, and one for each correction after it.</summary>
    public long Results => Closed ? 1 + Corrections : 0;

    /// <summary>Whether nothing more is expected of it, unless somebody corrects it.</summary>
    public bool Ended => Closed || Interrupted;

    /// <summary>Records of a kind that are archived.</summary>
    public long Archived(LineKind kind) => kind switch { LineKind.Reading => Rows, LineKind.Event => Events, _ => Results };
}
