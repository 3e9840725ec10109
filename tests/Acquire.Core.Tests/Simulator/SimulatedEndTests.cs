using Acquire.Core.Runs;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

/// <summary>A simulated record goes on long enough that a live run closes by itself, without anybody stopping it.</summary>
public sealed class SimulatedEndTests
{
    public static TheoryData<string, double, double?, double?, double, bool> Records()
    {
        var data = new TheoryData<string, double, double?, double?, double, bool>();
        foreach (var method in new[] { "iso-2592-2017", "astm-d92-18" })
        {
            foreach (var (flash, fire, expected) in new (double, double?, double?)[] { (226, 252, null), (90, 110, null), (90, null, null), (330, 356, null), (226, null, null), (200, 226, 212) })
            {
                data.Add(method, flash, fire, expected, 101.3, true);
            }
        }

        data.Add("iso-2592-2017", 226, 252, null, 97, false);
        data.Add("iso-2592-2017", 190, null, null, 97, false);
        return data;
    }

    [Theory]
    [MemberData(nameof(Records))]
    public void Run_has_closed_well_before_the_record_ends(string method, double flash, double? fire, double? expected, double pressure, bool flame)
    {
        var run = new SimulatedRun(new SimulatorOptions
        {
            Method = Specimens.Method(method), FlashCelsius = flash, FireCelsius = fire, ExpectedFlashCelsius = expected, StationPressureKilopascals = pressure, HasFlameSignal = flame, Seed = 3,
        });
        var plan = new RunPlan { Method = run.Options.Method, ExpectedFlashCelsius = run.Options.Expected, StationPressureKilopascals = pressure, HasFlameSignal = flame };
        var state = RunSupervisor.Begin(plan);
        var facts = new List<RunOutput>();
        foreach (var row in run.TakeWhile(_ => facts.OfType<RunClosed>().FirstOrDefault() is null))
        {
            RunSupervisor.Step(state, plan, row, facts);
        }

        var closed = facts.OfType<RunClosed>().SingleOrDefault();
        Assert.True(closed is not null, $"the record ends at {run.Truth.EndSeconds} s, the heater was off at {run.Truth.HeaterOffSeconds} s, and the run is still open: {state.Phase}");
        Assert.InRange(closed.AtSeconds - run.Truth.HeaterOffSeconds, 0, run.Truth.EndSeconds - run.Truth.HeaterOffSeconds - 10);
    }
}
