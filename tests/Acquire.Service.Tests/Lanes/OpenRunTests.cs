using Acquire.Core.Runs;
using Acquire.Service.Lanes;
using Acquire.Service.Lanes.Archiving;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace Acquire.Service.Tests.Lanes;

public sealed class OpenRunTests
{
    [Fact]
    public async Task Rows_are_handed_over_even_when_judging_them_fails()
    {
        await using var archive = TestTester.OpenArchive();
        var journal = new LaneJournal(ArchivePort.To(archive), new FakeTimeProvider());
        var run = new OpenRun(
            new("r", "bench-1", "oil", TestTester.Order.Plan, DateTimeOffset.UnixEpoch, "0", "wire"),
            (state, plan, in row, facts) => throw new InvalidOperationException($"a bug at {row.AtSeconds} s"));

        run.Take(TestTester.Row(10));
        run.Take(TestTester.Row(11));
        run.Stop();
        run.HandOverEnd(journal, DateTimeOffset.UnixEpoch, askedBy: null);

        Assert.Equal("a bug at 0 s", run.JudgingFailure!.Message);
        Assert.Null(run.Status());
        Assert.Collection(
            journal.Waiting,
            entry => Assert.Equal([0.0, 1.0], Assert.IsType<RowsCame>(entry).Rows.ToArray().Select(row => row.AtSeconds)),
            entry => Assert.IsType<RunGivenUp>(entry));
    }

    [Fact]
    public void The_first_row_is_the_origin_and_a_record_that_starts_at_zero_is_kept_to_the_last_bit()
    {
        var (shifted, kept) = (Axis(1000.1, 1000.3), Axis(0, 0.1 + 0.2));

        Assert.Equal([0, 0.2], shifted);
        Assert.Equal([0, 0.1 + 0.2], kept);
    }

    [Fact]
    public void A_clock_that_counts_from_1970_leaves_no_rest_on_the_axis()
    {
        var rest = 1795711749.703 - 1795711749.603;

        Assert.NotEqual(0.1, rest);
        Assert.Equal([0, 0.1], Axis(1795711749.603, 1795711749.703));
    }

    private static List<double> Axis(params double[] times)
    {
        var axis = new List<double>();
        var run = new OpenRun(
            new("r", "bench-1", "oil", TestTester.Order.Plan, DateTimeOffset.UnixEpoch, "0", "wire"),
            (RunState state, RunPlan plan, in Core.Readings.ReadingRow row, List<RunOutput> facts) => axis.Add(row.AtSeconds));
        foreach (var time in times)
        {
            run.Take(TestTester.Row(time));
        }

        return axis;
    }
}
