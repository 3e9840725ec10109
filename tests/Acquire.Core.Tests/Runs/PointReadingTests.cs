using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using Xunit;

namespace Acquire.Core.Tests.Runs;

public sealed class PointReadingTests
{
    private static readonly BenchTrace Usual = new() { PerSecond = 25, FireCelsius = null, Seed = 13 };

    [Theory]
    [InlineData(3.5, true)]
    [InlineData(1.5, true)]
    [InlineData(0.2, false)]
    public void A_disturbance_too_small_for_a_jump_makes_the_point_doubtful(double celsius, bool doubtful)
    {
        // The thermometer is knocked half a second before the flash and stays so for two.
        var run = Usual.Make();
        var from = run.Flash!.Onset!.Value - 0.5;

        var judged = run.Judge(run.Rows.Select(row => row.AtSeconds >= from && row.AtSeconds < from + 2 ? row with { TemperatureCelsius = row.TemperatureCelsius + celsius } : row));

        Assert.Equal(doubtful ? FindingWeight.Doubtful : null, judged.Result.Findings.SingleOrDefault(finding => finding.Code == FindingCodes.PointOffRamp)?.Weight);
        Assert.Equal(doubtful ? Verdict.Doubtful : Verdict.Valid, judged.Result.Verdict);
    }

    [Fact]
    public void A_run_whose_thermometer_is_unplugged_after_the_last_point_closes_all_the_same()
    {
        var run = (Usual with { FireCelsius = 235.5, TailSeconds = 90 }).Make();
        var from = run.Fire!.Onset!.Value + 7;

        var judged = run.Judge(run.Rows.Select(row => row.AtSeconds < from ? row : row with { Present = row.Present & ~RowChannels.Temperature }));

        Assert.InRange(judged.Outputs.OfType<RunClosed>().Single().AtSeconds, from, from + 55);
        Assert.Equal(Verdict.Valid, judged.Result.Verdict);
    }

    [Theory]
    [InlineData(5.0, 200)]
    [InlineData(5.0, 60)]
    [InlineData(-4.0, 301.5)]
    public void A_junction_that_stepped_is_not_believed_again_elsewhere(double celsius, double seconds)
    {
        var run = Usual.Make();
        var chain = ThermometerSupervisionTests.TypeK;

        var judged = run.Judge(ThermometerSupervisionTests.Signals(run.Rows).Select(row => row.AtSeconds < seconds ? row : row with { JunctionCelsius = row.JunctionCelsius + celsius }), run.Trace.Plan with { Thermometer = chain });

        Assert.NotEqual(Verdict.Valid, judged.Result.Verdict);
    }
}
