using Acquire.Benchmarks.Campaigns.Flash;

namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>Operating curves of rows of scenes, with the bound of each: what is found against what is called a flash falsely, as the threshold moves.</summary>
internal static class RocPlot
{
    // Decades of the false rate and of the missed share.
    private const double LeastFalse = -5, LeastMissed = -4;
    private const int Steps = 120;

    public static string Draw(IReadOnlyList<SceneResult> results, string set)
    {
        var svg = new Svg(760, 520 + (18 * results.Count), "Operating curves: flashes found against false flashes");
        var frame = new SvgFrame(70, 40, 660, 400, LeastFalse, 0, 0, -LeastMissed);
        (double, string)[] falses = [(-5, "0.001 %"), (-4, "0.01 %"), (-3, "0.1 %"), (-2, "1 %"), (-1, "10 %"), (0, "100 %")];
        (double, string)[] founds = [(0, "0"), (1, "90 %"), (2, "99 %"), (3, "99.9 %"), (4, "99.99 %")];
        frame.Draw(svg, falses, founds, $"passes without a flash above the threshold ({set} seeds)", "flashes above the threshold");
        foreach (var (k, result) in results.Index())
        {
            var colour = Svg.Colours[k % Svg.Colours.Count];
            svg.Line(Curve(result.Tally(set), frame), colour, 2);
            var bound = Bound(result.Bound, frame).ToArray();
            svg.Line(bound, colour, 1, "5 4");
            svg.Dot(Set(result.Tally(set), frame), colour);
            svg.Line([(frame.Left, 503 + (18 * k)), (frame.Left + 24, 503 + (18 * k))], colour, 2);
            svg.Words(frame.Left + 32, 507 + (18 * k), result.Row.Name + (bound.Length > 1 ? "; dashed: the bound" : "; bound above the picture"));
        }

        return svg.Done();
    }

    private static IEnumerable<(double X, double Y)> Curve(SceneTally tally, SvgFrame frame)
    {
        var (bare, flashes) = (tally.BareEvidence, tally.FlashEvidence);
        for (var k = 0; k <= Steps * 2; k++)
        {
            var threshold = k * 30.0 / (Steps * 2);
            var above = bare.Count - Below(bare, threshold);
            var missed = Below(flashes, threshold);

            // Where not one is above, or not one is missed, a curve would be a guess.
            if (above > 0 && missed > 0)
            {
                yield return Place(frame, (double)above / bare.Count, (double)missed / flashes.Count);
            }
        }
    }

    // The threshold in use; at the frame's edge where nothing was false, or missed.
    private static (double X, double Y) Set(SceneTally tally, SvgFrame frame) =>
        Place(frame, Math.Max((double)tally.False / tally.BarePasses, 1e-9), Math.Max((double)tally.Missed / Math.Max(1, tally.Flashes), 1e-9));

    // From where it comes into the picture.
    private static IEnumerable<(double X, double Y)> Bound(NeymanPearson bound, SvgFrame frame) =>
        from k in Enumerable.Range(0, Steps)
        let rate = Math.Pow(10, LeastFalse * k / (Steps - 1))
        let missed = bound.Missed(rate)
        where missed >= Math.Pow(10, LeastMissed)
        select Place(frame, rate, missed);

    private static (double X, double Y) Place(SvgFrame frame, double rate, double missed) => (frame.X(Math.Log10(rate)), frame.Y(-Math.Log10(missed)));

    private static int Below(List<double> growing, double threshold)
    {
        var at = growing.BinarySearch(threshold);
        return at < 0 ? ~at : at;
    }
}
