using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using Xunit;

namespace Acquire.Core.Tests.Runs;

public sealed class FlashAndFireTests
{
    [Theory]
    [InlineData(20, true)]
    [InlineData(60, true)]
    [InlineData(150, true)]
    [InlineData(20, false)]
    [InlineData(60, false)]
    public void A_halo_however_large_is_no_flash(double height, bool flame)
    {
        // ISO 2592 and ASTM D92: the bluish halo round the test flame is not a flash. Here it grows to many times the pass.
        foreach (var seed in new[] { 101, 102 })
        {
            var run = new BenchTrace { PerSecond = 25, FlashCelsius = null, FireCelsius = null, HottestCelsius = 240, HaloHeight = height, HasFlame = flame, Seed = seed }.Make();

            var judged = run.Judge();

            Assert.True(judged.Result.Flash is null, judged.Story);
            Assert.Equal(Verdict.Invalid, judged.Result.Verdict);
            judged.Only(FindingCodes.NoFlash);
        }
    }

    [Fact]
    public void A_flash_under_a_halo_of_its_own_height_is_found()
    {
        foreach (var seed in new[] { 111, 112, 113 })
        {
            var run = new BenchTrace { HaloHeight = 30, FlashHeight = 30, FireCelsius = null, Seed = seed }.Make();

            run.Judge().AssertTrue(run);
        }
    }

    [Theory]
    [InlineData(20)]
    [InlineData(50)]
    [InlineData(100)]
    public void The_fire_begins_where_it_truly_does(double perSecond)
    {
        foreach (var seed in new[] { 121 + (int)perSecond, 122 })
        {
            var run = new BenchTrace { PerSecond = perSecond, ShortBurns = [2.5, 4.6], FlashHeight = 30, Seed = seed }.Make();

            var judged = run.Judge();

            judged.AssertTrue(run);
            var fire = Assert.Single(judged.Outputs.OfType<FireDetected>());
            // Stated when the five seconds are complete, not sooner and hardly later.
            Assert.InRange(fire.AtSeconds - fire.OnsetSeconds, 5, 5.3);
            Assert.Equal(judged.Result.Fire!.TimeSeconds, fire.OnsetSeconds);
        }
    }

    [Fact]
    public void A_specimen_that_takes_fire_at_its_first_flash_has_both_points_there()
    {
        var run = new BenchTrace { FlashCelsius = 225.5, FireCelsius = 225.5, Seed = 131 }.Make();

        var judged = run.Judge();

        judged.AssertTrue(run);
        Assert.Equal(judged.Result.Flash!.TimeSeconds, judged.Result.Fire!.TimeSeconds, tolerance: 0.05);
    }

    [Theory]
    [InlineData(4.6, false)]
    [InlineData(5.3, true)]
    public void A_fire_needs_its_five_seconds(double burns, bool fire)
    {
        // ISO 2592 and ASTM D92: burns for at least 5 s.
        var run = new BenchTrace { FireSeconds = burns, Seed = 141 }.Make();

        var result = run.Judge().Result;

        Assert.Equal(fire, result.Fire is not null);
        Assert.Equal(fire ? 0 : 1, result.Findings.Count(finding => finding.Code == FindingCodes.NoFirePoint));
    }

    [Fact]
    public void After_the_fire_the_run_cools_and_closes_by_itself()
    {
        var run = new BenchTrace { TailSeconds = 200, Seed = 151 }.Make();

        var outputs = run.Judge().Outputs;

        var fire = outputs.OfType<FireDetected>().Single();
        var closed = Assert.IsType<RunClosed>(outputs[^1]);
        Assert.InRange(closed.AtSeconds - fire.AtSeconds, 1, 120);
        Assert.Contains(outputs.OfType<PhaseChanged>(), change => change is { From: RunPhase.Cooling, To: RunPhase.Closed });
    }
}
