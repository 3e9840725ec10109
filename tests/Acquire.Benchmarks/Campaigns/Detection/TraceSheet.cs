namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>Many passes that were judged wrongly, each small, on one picture.</summary>
internal static class TraceSheet
{
    /// <summary>Passes on one sheet.</summary>
    public const int Most = 40;

    private const int Columns = 3, TileWidth = 330, LaneHeight = 64, CaptionHeight = 16, Gap = 10, Head = 34;

    /// <summary>Draws a sheet.</summary>
    /// <param name="title">What they have in common.</param>
    /// <param name="traces">Their readings, each with what is said below it.</param>
    public static string Draw(string title, IReadOnlyList<(string Caption, TracePlot Trace)> traces)
    {
        var tileHeight = (LaneHeight * traces.Max(one => one.Trace.Lanes.Length)) + CaptionHeight + Gap;
        var rows = (traces.Count + Columns - 1) / Columns;
        var svg = new Svg((Columns * TileWidth) + Gap, Head + (rows * tileHeight) + Gap, title);
        svg.Words(Gap, 20, title);
        foreach (var (i, (caption, trace)) in traces.Index())
        {
            double left = Gap + (i % Columns * TileWidth), top = Head + (i / Columns * tileHeight);
            foreach (var (k, lane) in trace.Lanes.Index())
            {
                trace.DrawSmall(svg, lane, left, top + (k * LaneHeight), TileWidth - Gap, LaneHeight - 6);
            }

            svg.Words(left, top + (LaneHeight * trace.Lanes.Length) + CaptionHeight - 6, caption, Svg.Quiet);
        }

        return svg.Done();
    }
}
