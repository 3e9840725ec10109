namespace Acquire.Core.Detection;

/// <summary>What of the passes remembered is asked for at every reading: looked for once with each pass. It follows from the passes, so it is no part of a snapshot.</summary>
internal sealed class PassFigures
{
    private int _passes;

    /// <summary>Highest of the newest passes, detector's unit; 0 before the first.</summary>
    public double Peak { get; private set; }

    /// <summary>Whether the detector could see any of them.</summary>
    public bool AnyVisible { get; private set; }

    /// <summary>The figures of these passes.</summary>
    /// <param name="passes">All that are remembered; none changes, and none goes.</param>
    /// <param name="newest">So many of them count as the newest.</param>
    public PassFigures Of(List<PassRecord> passes, int newest)
    {
        if (_passes != passes.Count)
        {
            Look(passes, newest);
        }

        return this;
    }

    private void Look(List<PassRecord> passes, int newest)
    {
        var first = Math.Max(0, passes.Count - newest);
        (_passes, Peak, AnyVisible) = (passes.Count, passes[first].Peak, passes.Exists(pass => pass.Visible));
        for (var i = first + 1; i < passes.Count; i++)
        {
            Peak = Math.Max(Peak, passes[i].Peak);
        }
    }
}
