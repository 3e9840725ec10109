namespace Acquire.Core.Detection;

/// <summary>What the run says to the detector watch with each reading.</summary>
/// <param name="SustainedSeconds">The method's seconds for a fire point.</param>
/// <param name="Freely">Look at any stir as a pass, because no flame signal tells.</param>
/// <param name="Signalled">Whether a flame signal tells of every pass.</param>
/// <param name="Handled">Whether a person may be handling the cup: before it is charged, and once the determination is over.</param>
internal readonly record struct WatchAsk(double SustainedSeconds, bool Freely, bool Signalled, bool Handled)
{
    /// <summary>Whether the determination is over and the cup as hot as it gets: what burns now is told, and changes nothing on record.</summary>
    public bool Over { get; init; }
}
