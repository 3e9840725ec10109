using Acquire.Benchmarks.Campaigns.Flash;
using Acquire.Core.Readings;
using Acquire.Simulator;

namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>The readings about one pass that was judged wrongly, with the truth and what was told.</summary>
/// <param name="Title">What it is.</param>
/// <param name="Times">s.</param>
/// <param name="Lanes">Readings of each detector, its own unit.</param>
/// <param name="Flame">When the test flame was over the cup, s.</param>
/// <param name="Truth">True onset, s; NaN for none.</param>
/// <param name="Told">Onset told, s; NaN for none.</param>
internal sealed record TracePlot(string Title, double[] Times, double[][] Lanes, (double From, double To) Flame, double Truth, double Told)
{
    private const double BeforeSeconds = 1.5, AfterSeconds = 2;
    private const int LaneHeight = 130, LineLetters = 110;

    /// <summary>The pass of a scene that was judged wrongly.</summary>
    public static TracePlot Of(SceneRow row, SceneFault fault)
    {
        var scene = PassScene.Draw(fault.Seed, row.Options);
        var pass = scene.Passes[fault.Pass.Number - 1];
        var indices = Enumerable.Range(0, scene.Times.Length).Where(i => scene.Times[i] >= pass.Start - BeforeSeconds && scene.Times[i] <= pass.End + AfterSeconds).ToArray();
        double[] Lane(double[] values) => [.. indices.Select(i => values[i])];
        var kind = fault.Pass.Flashes == fault.Pass.Told ? "right" : fault.Pass.Flashes ? "missed" : "false";
        var title = FormattableString.Invariant($"{kind}: {row.Name}, seed {fault.Seed}, pass {fault.Pass.Number}, evidence {fault.Pass.Evidence:0.0}");
        double[][] lanes = scene.Second is { } second ? [Lane(scene.First), Lane(second)] : [Lane(scene.First)];
        return new(title, Lane(scene.Times), lanes, (pass.Start, pass.End), fault.Pass.Flashes ? scene.Onset : double.NaN, fault.Pass.Told ? fault.Pass.OnsetSeconds : double.NaN);
    }

    /// <summary>The pass of a whole run that was judged wrongly.</summary>
    public static TracePlot Of(RunRow row, RunOutcome outcome) =>
        About(row, outcome, _ => outcome.Flash == RunFlash.Early ? outcome.Told : outcome.Truth, _ => (outcome.Truth, outcome.Told));

    /// <summary>The pass at which the fire point of a whole run lay.</summary>
    public static TracePlot OfFire(RunRow row, RunOutcome outcome) =>
        About(row, outcome, truth => truth.Fire!.TimeSeconds, truth => (truth.Fire!.TimeSeconds, truth.Fire.TimeSeconds + outcome.FireError));

    private static TracePlot About(RunRow row, RunOutcome outcome, Func<SimulatedTruth, double> when, Func<SimulatedTruth, (double Truth, double Told)> marks)
    {
        var run = new SimulatedRun(outcome.Options);
        var at = when(run.Truth);
        var pass = run.Truth.Applications.Last(made => made.TimeSeconds <= at + 0.3);
        var end = pass.TimeSeconds + pass.DurationSeconds;
        ReadingRow[] rows = [.. run.Where(one => one.AtSeconds >= pass.TimeSeconds - BeforeSeconds && one.AtSeconds <= end + AfterSeconds)];
        double[] first = [.. rows.Select(one => one.Detector)];
        double[][] lanes = outcome.Options.TwoDetectors ? [first, [.. rows.Select(one => one.SecondDetector)]] : [first];
        return new(Name(row, outcome), [.. rows.Select(one => one.AtSeconds)], lanes, (pass.TimeSeconds, end), marks(run.Truth).Truth, marks(run.Truth).Told);
    }

    /// <summary>A whole run in a few words.</summary>
    public static string Name(RunRow row, RunOutcome outcome) => FormattableString.Invariant(
        $"{Word(outcome.Flash)}: whole run, {row.Name.Trim('`')}, {outcome.Options.Method.Id}, {(outcome.Options.TwoDetectors ? "two detectors" : "one detector")}, {outcome.Options.RowsPerSecond} rows a second, seed {outcome.Options.Seed}, evidence {outcome.Significance:0.0}, {outcome.Verdict.ToString().ToLowerInvariant()}");

    /// <summary>Which application was found, in a word.</summary>
    public static string Word(RunFlash flash) => flash switch { RunFlash.Early => "false", RunFlash.Missed => "missed", RunFlash.Right => "right", _ => "not recorded" };

    /// <summary>Draws it.</summary>
    public string Draw()
    {
        var svg = new Svg(760, 64 + ((LaneHeight + 24) * Lanes.Length) + 24, Title);
        var half = Title.Length > LineLetters ? Title.LastIndexOf(", ", LineLetters, StringComparison.Ordinal) + 2 : Title.Length;
        svg.Words(16, 20, Title[..half]);
        svg.Words(16, 36, Title[half..]);
        foreach (var (k, lane) in Lanes.Index())
        {
            DrawLane(svg, lane, 52 + ((LaneHeight + 24) * k), k == Lanes.Length - 1);
        }

        return svg.Done();
    }

    /// <summary>Draws one lane without marks on its axes.</summary>
    public void DrawSmall(Svg svg, double[] lane, double left, double top, double width, double height)
    {
        if (lane.Length == 0)
        {
            return;
        }

        var frame = new SvgFrame(left, top, width, height, Times[0], Times[^1], lane.Min(), Math.Max(lane.Max(), lane.Min() + 1e-9));
        svg.Box(frame.X(Flame.From), top, frame.X(Flame.To) - frame.X(Flame.From), height, Svg.Colours[4], 0.15);
        svg.Line(Times.Zip(lane).Select(point => (frame.X(point.First), frame.Y(point.Second))), Svg.Colours[0]);
        Mark(svg, frame, Truth, "", Svg.Colours[2], top);
        Mark(svg, frame, Told, "", Svg.Colours[1], top);
    }

    private void DrawLane(Svg svg, double[] lane, double top, bool last)
    {
        if (lane.Length == 0)
        {
            return;
        }

        var (low, high) = (lane.Min(), lane.Max());
        var room = Math.Max(0.05 * (high - low), 1e-9);
        var frame = new SvgFrame(60, top, 680, LaneHeight, Times[0], Times[^1], low - room, high + room);
        svg.Box(frame.X(Flame.From), top, frame.X(Flame.To) - frame.X(Flame.From), LaneHeight, Svg.Colours[4], 0.15);
        frame.Draw(svg, last ? SvgFrame.Marks(Times[0], Times[^1]) : [], SvgFrame.Marks(low - room, high + room), last ? "s" : "", "");
        svg.Line(Times.Zip(lane).Select(point => (frame.X(point.First), frame.Y(point.Second))), Svg.Colours[0]);
        Mark(svg, frame, Truth, "flash", Svg.Colours[2], top + 12);
        Mark(svg, frame, Told, "told", Svg.Colours[1], top + 26);
    }

    private static void Mark(Svg svg, SvgFrame frame, double at, string words, string colour, double y)
    {
        if (at >= frame.FromX && at <= frame.ToX)
        {
            svg.Line([(frame.X(at), frame.Top), (frame.X(at), frame.Top + frame.Height)], colour, 1.5, "4 3");
            svg.Words(frame.X(at) + 4, y, words, colour);
        }
    }
}
