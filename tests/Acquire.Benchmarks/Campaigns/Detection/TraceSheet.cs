namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>Many passes that were judged wrongly, each small, on one picture.</summary>
internal static class TraceSheet
{
    /// <summary>Passes on one sheet.</summary>
    public const int Most = 40;

    private const int Columns = 3, TileWidth = 330, LaneHeight = 64, LineHeight = 16, Gap = 10, Head = 34;

    // As many letters of a caption as a tile is wide.
    private const int LongestLine = 48;

    /// <summary>Draws a sheet.</summary>
    /// <param name="title">What they have in common.</param>
    /// <param name="traces">Their readings, each with what is said below it.</param>
    public static string Draw(string title, IReadOnlyList<(string Caption, TracePlot Trace)> traces)
    {
        var tileHeight = (LaneHeight * traces.Max(one => one.Trace.Lanes.Length)) + (LineHeight * traces.Max(one => Lines(one.Caption).Length)) + Gap;
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

            foreach (var (k, line) in Lines(caption).Index())
            {
                svg.Words(left, top + (LaneHeight * trace.Lanes.Length) + ((k + 1) * LineHeight) - 6, line, Svg.Quiet);
            }
        }

        return svg.Done();
    }

    // A caption too long for its tile goes on below, after a comma.
    private static string[] Lines(string caption) =>
        caption.Length > LongestLine && caption.LastIndexOf(", ", StringComparison.Ordinal) is > 0 and var comma ? [caption[..(comma + 1)], caption[(comma + 2)..]] : [caption];
}
