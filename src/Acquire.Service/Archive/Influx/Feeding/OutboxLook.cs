namespace Acquire.Service.Archive.Influx.Feeding;

/// <summary>What waits to be sent, as of one look.</summary>
/// <param name="Unsent">Runs to send from now, open ones first.</param>
/// <param name="Runs">Runs with something to send in all.</param>
/// <param name="Rows">Rows to send in all.</param>
/// <param name="IsCut">Whether more runs wait than are in <paramref name="Unsent"/>.</param>
internal sealed record OutboxLook(IReadOnlyList<FeedRun> Unsent, long Runs, long Rows, bool IsCut);
