using Acquire.Core.Detection;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using Xunit;

namespace Acquire.Core.Tests.Runs;

public sealed class DetectorSelfCheckTests
{
    private static readonly BenchTrace Usual = new() { PerSecond = 50, Noise = 0.5, FireCelsius = null, Seed = 21 };

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void The_status_says_before_the_first_application_whether_the_detector_can_be_trusted(bool signal)
    {
        var run = (Usual with { HasFlame = signal }).Make();
        var plan = run.Trace.Plan;
        var state = RunSupervisor.Begin(plan);
        Assert.Null(RunSupervisor.Status(state, plan).DetectorCheck);
        foreach (var row in run.Rows.TakeWhile(row => row.AtSeconds < run.Passes[0].Start - 1))
        {
            RunSupervisor.Step(state, plan, row, []);
        }

        var check = RunSupervisor.Status(state, plan).DetectorCheck!;
        Assert.Equal(DetectorTrust.Good, check.Trust);
        Assert.Equal(50, check.ReadingsPerSecond, 0.1);
        Assert.Equal(0.5, check.Noise!.Value, 0.05);
        Assert.InRange(check.LeastFlash!.Value, 2, 4);
        Assert.True(check.QuietSeconds > 0.9 * (run.Passes[0].Start - 10), $"{check.QuietSeconds:F0} s of quiet");

        var judged = run.Judge();
        Assert.Equal(DetectorTrust.Good, judged.Result.DetectorCheck!.Trust);
        judged.Lacks(FindingCodes.DetectorNotTrusted);
    }

    [Fact]
    public void The_finding_says_what_to_do_and_stands_once()
    {
        var limited = (Usual with { PerSecond = 10 }).Make().Judge();

        var finding = limited.Only(FindingCodes.DetectorNotTrusted);
        Assert.Equal(10, finding.Value!.Value, 0.01);
        Assert.Contains("Send 50 readings a second or more.", finding.Text, StringComparison.Ordinal);
        Assert.Equal(DetectorTrust.Limited, limited.Result.DetectorCheck!.Trust);
    }

    [Fact]
    public void A_guided_run_has_no_check()
    {
        var judged = (Usual with { PerSecond = 10 }).Make();
        var result = judged.Judge(plan: judged.Trace.Plan with { Mode = RunMode.Guided });

        Assert.Null(result.Result.DetectorCheck);
        result.Lacks(FindingCodes.DetectorNotTrusted);
    }
}
