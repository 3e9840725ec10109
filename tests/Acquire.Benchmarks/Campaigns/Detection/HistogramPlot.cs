namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>How strong the evidence is in passes with and without a flash, one panel a row.</summary>
internal static class HistogramPlot
{
    private const double Most = 24, Width = 0.25;
    private const int PanelHeight = 210;

    public static string Draw(IReadOnlyList<SceneResult> results, string set)
    {
        var svg = new Svg(760, 40 + (PanelHeight * results.Count), "Evidence in passes with and without a flash");
        foreach (var (k, result) in results.Index())
        {
            var tally = result.Tally(set);
            var frame = new SvgFrame(60, 50 + (PanelHeight * k), 670, 120, 0, Most, -5, 0);
            (double, string)[] shares = [(-5, "0.001 %"), (-3, "0.1 %"), (-1, "10 %")];
            frame.Draw(svg, SvgFrame.Marks(0, Most), shares, "evidence, standard deviations", $"share of the passes; {result.Row.Name} ({set} seeds)");
            Bars(svg, frame, tally.BareEvidence, Svg.Colours[0]);
            Bars(svg, frame, tally.FlashEvidence, Svg.Colours[1]);
            svg.Words(frame.Left + 480, frame.Top + 14, "without a flash", Svg.Colours[0]);
            svg.Words(frame.Left + 480, frame.Top + 30, "with a flash", Svg.Colours[1]);
        }

        return svg.Done();
    }

    private static void Bars(Svg svg, SvgFrame frame, List<double> values, string colour)
    {
        foreach (var bin in values.GroupBy(value => (int)(Math.Min(value, Most - (Width / 2)) / Width)).OrderBy(bin => bin.Key))
        {
            var top = frame.Y(Math.Log10((double)bin.Count() / values.Count));
            var left = frame.X(bin.Key * Width);
            svg.Box(left, top, frame.X((bin.Key + 1) * Width) - left, frame.Top + frame.Height - top, colour, 0.6);
        }
    }
}
