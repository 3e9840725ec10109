using System.Globalization;
using Acquire.Core.Control;
using Acquire.Core.Results;
using Acquire.Core.Tests.Control;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator.Driven;

/// <summary>Many driven determinations with testers drawn at random.</summary>
public sealed class DrivenCampaignTests(ITestOutputHelper output)
{
    /// <summary>One of each kind in a usual run; with ACQUIRE_DRIVEN_CUPS=67 the table of docs/simulator.md, which takes some ten minutes.</summary>
    [Fact]
    public void Cups_drawn_at_random_are_driven_to_their_flash_point_without_a_trip()
    {
        var cups = int.TryParse(Environment.GetEnvironmentVariable("ACQUIRE_DRIVEN_CUPS"), NumberStyles.None, CultureInfo.InvariantCulture, out var asked) ? asked : 1;
        foreach (var (method, from, to) in DrivenDraw.Methods)
        {
            foreach (var knowledge in Enum.GetValues<Knowledge>())
            {
                var runs = Enumerable.Range(0, cups).Select(number => DrivenRun.Play(DrivenDraw.Of(method, from, to, knowledge, number + 1))).Select(Came.Of).ToList();
                output.WriteLine(Row(method, knowledge, runs));
                Assert.All(runs, came => Assert.Empty(came.Trips));

                // One application too early or too late is 2 °C at most: an uncertain detector's matter, counted in the table.
                Assert.All(runs, came => Assert.InRange(came.FlashError, 0, 2.2));
            }
        }
    }

    private static string Row(string method, Knowledge knowledge, List<Came> runs)
    {
        var rates = runs.Select(came => came.RateError).Order().ToArray();
        var applied = runs.Select(came => came.AppliedError).Order().ToArray();
        var ramps = runs.Count(came => came.RampFinding);
        return string.Create(CultureInfo.InvariantCulture,
            $"| {method} | {knowledge} | {runs.Count} | {runs.Count(came => came.Verdict == Verdict.Valid)} / {runs.Count(came => came.Verdict == Verdict.Doubtful)} / {runs.Count(came => came.Verdict == Verdict.Invalid)} | {ramps} | {At(rates, 0.5):0.00} / {At(rates, 0.95):0.00} / {rates[^1]:0.00} | {At(applied, 0.5):0.00} / {At(applied, 0.95):0.00} / {applied[^1]:0.00} | {runs.Count(came => came.FlashError < 0.3)} | {runs.Min(came => came.AboveFlashPoint):0.0} to {runs.Max(came => came.AboveFlashPoint):0.0} | {runs.Count(came => came.Trips.Count > 0)} |");
    }

    private static double At(double[] sorted, double part) => sorted[(int)(part * (sorted.Length - 1))];

    /// <summary>What came of one run, without its rows.</summary>
    private sealed record Came(Verdict Verdict, bool RampFinding, double RateError, double AppliedError, double FlashError, double AboveFlashPoint, IReadOnlyList<string> Trips)
    {
        public static Came Of(DrivenRun run) => new(
            run.Result.Verdict,
            run.Result.Findings.Any(finding => finding.Weight != FindingWeight.Note && finding.Code is FindingCodes.RateTooFast or FindingCodes.RateTooSlow),
            run.Figures.Held?.WorstFrom(run.Figures.TargetCelsiusPerMinute) ?? double.PositiveInfinity,
            run.Figures.Applied?.WorstFrom(run.Figures.TargetCelsiusPerMinute) ?? double.PositiveInfinity,
            run is { Result.Flash: { } found, Truth.Flash: { } truth } ? Math.Abs(found.ObservedCelsius - truth.TemperatureCelsius) : double.PositiveInfinity,
            (run.Result.Flash?.ObservedCelsius ?? double.PositiveInfinity) - run.Truth.FlashAtStationCelsius,
            [.. run.Figures.Cuts.Where(cut => cut.Code != TripCodes.ResultComplete).Select(cut => cut.Code)]);
    }
}
