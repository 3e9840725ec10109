using Acquire.Core.Methods;
using Acquire.Core.Results;
using Acquire.Simulator;
using Xunit;
using static Acquire.Core.Tests.Runs.SimulatedScenes;

namespace Acquire.Core.Tests.Runs;

public sealed class ClearSceneTests
{
    [Fact]
    public void Twenty_clear_runs_end_valid_and_within_an_interval_of_the_truth()
    {
        for (var i = 0; i < 20; i++)
        {
            var (truth, result) = Play(i, DetectorScene.Clear, flame: i % 4 != 3);

            Assert.True(result.Verdict == Verdict.Valid, Story(i, truth, result));
            Assert.True(Near(truth.Flash, result.Flash) && Near(truth.Fire, result.Fire), Story(i, truth, result));
            Assert.Equal(Rounding.Round(result.Flash!.CorrectedCelsius, new RoundingRule(1, TieRule.HalfToEven)), result.Flash.ReportedCelsius);
        }
    }
}
