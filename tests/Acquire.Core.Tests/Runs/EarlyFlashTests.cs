using Acquire.Core.Methods;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using Xunit;

namespace Acquire.Core.Tests.Runs;

/// <summary>A flash at a check for vapour far below the series, and at the first application of it.</summary>
public sealed class EarlyFlashTests
{
    // A Pensky-Martens run to 170 °C: the first application is due at 147 °C (ISO 2719, procedure A: 23 °C below).
    private static readonly GuidedBench Warm = new()
    {
        Plan = new RunPlan
        {
            Method = MethodCatalog.TryFind("iso-2719-2016-a", out var method) ? method : throw new InvalidOperationException(),
            ExpectedFlashCelsius = 170,
            StationPressureKilopascals = 101.3,
            HasFlameSignal = false,
            Mode = RunMode.Guided,
        },
    };

    private static Judged Check(params (double Celsius, Sighting Seen)[] checks)
    {
        var (state, outputs) = (RunSupervisor.Begin(Warm.Plan), new List<RunOutput>());
        var next = 0;
        for (var i = 0; next < checks.Length || i < 100; i++)
        {
            // 5.5 °C/min, four readings a second.
            var celsius = 25 + (i * 5.5 / 240);
            RunSupervisor.Step(state, Warm.Plan, RunInput.Temperature(i / 4.0, celsius + (0.02 * Math.Sin(i * 2.4))), outputs);
            if (next < checks.Length && celsius >= checks[next].Celsius)
            {
                RunSupervisor.Step(state, Warm.Plan, RunInput.Observation(i / 4.0, checks[next++].Seen), outputs);
            }
        }

        RunSupervisor.Step(state, Warm.Plan, RunInput.Stop(state.AtSeconds), outputs);
        return new(state.Result!, outputs);
    }

    [Fact]
    public void A_flash_at_a_check_for_vapour_is_light_ends_and_not_the_first_application()
    {
        var judged = Check((36, Sighting.Nothing), (46, Sighting.Nothing), (56, Sighting.Flash));

        var finding = judged.Only(FindingCodes.FlashBelowSeries);
        Assert.Equal((FindingWeight.Invalid, 147.0), (finding.Weight, finding.Limit!.Value));
        Assert.StartsWith("The specimen flashed at 56.0 °C, 91.0 °C below the first application; the pass at 46.0 °C did not: something volatile is in it", finding.Text, StringComparison.Ordinal);
        Assert.Contains("bath-heated closed cup", finding.Text, StringComparison.Ordinal);
        judged.Lacks(FindingCodes.FlashAtFirstApplication);
        Assert.Contains("far below the first application", CannotReport.Why(judged.Result, Warm.Plan, PointKind.Flash), StringComparison.Ordinal);
    }

    [Fact]
    public void Checks_that_do_not_flash_are_no_finding_of_it() =>
        Check((36, Sighting.Nothing), (46, Sighting.Nothing), (56, Sighting.Halo)).Lacks(FindingCodes.FlashBelowSeries);

    [Fact]
    public void Where_a_check_before_did_not_flash_the_first_application_has_a_lower_bound()
    {
        var judged = Check((126, Sighting.Nothing), (147, Sighting.Flash));

        Assert.Contains("the flash point lies between 126.0 °C, where a pass before the series did not flash, and this temperature", judged.Only(FindingCodes.FlashAtFirstApplication).Text, StringComparison.Ordinal);
    }

}
