using Acquire.Core.Readings;
using Acquire.Core.Thermometry;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

public sealed class DemoLaboratoryTests
{
    private static readonly DateOnly Day = new(2026, 7, 2);

    private static readonly IReadOnlyList<DemoTester> Testers = DemoLaboratory.TestersOn(Day);

    [Fact]
    public void Every_round_of_every_tester_can_be_run_and_finds_flash_and_fire()
    {
        foreach (var tester in Testers)
        {
            for (var round = 0; round < 6; round++)
            {
                var options = tester.Options(round, 1);

                Assert.Empty(options.Check());
                var truth = new SimulatedRun(options).Truth;
                Assert.NotNull(truth.Flash);
                Assert.NotNull(truth.Fire);
                Assert.True(truth.Flash.ApplicationNumber > 1, $"{tester.Id}, round {round}: flash at the first application");
            }
        }
    }

    [Fact]
    public void The_driven_tester_comes_to_the_right_result_when_it_is_driven()
    {
        for (var (seed, round) = (1UL, 0); seed <= 8; (seed, round) = round < 2 ? (seed, round + 1) : (seed + 1, 0))
        {
            var run = DrivenRun.Play(DrivenRunOptions.For(DrivenOptions.For(DemoLaboratory.Driven.Options(round, seed) with { RowsPerSecond = 25 })));
            var told = $"seed {seed}, round {round}: {run.Result.Flash?.ObservedCelsius} °C, truly {run.Truth.Flash}, {string.Join("; ", run.Result.Findings)}";

            Assert.True(run.Result.Verdict == Core.Results.Verdict.Valid, told);
            Assert.True(Math.Abs(run.Result.Flash!.ObservedCelsius - run.Truth.Flash!.TemperatureCelsius) < 0.1, told);
            Assert.NotNull(run.Result.Fire);
        }
    }

    [Fact]
    public void Rounds_and_seeds_differ_and_repeat_exactly()
    {
        var tester = Testers[0];

        Assert.Equal(tester.Options(4, 9), tester.Options(4, 9));
        Assert.Equal(40, Enumerable.Range(0, 20).SelectMany(round => new[] { tester.Options(round, 9).Seed, tester.Options(round, 10).Seed }).Distinct().Count());
        Assert.NotEqual(tester.Options(4, 9).Seed, Testers[2].Options(4, 9).Seed);
        Assert.True(Enumerable.Range(0, 20).Select(round => tester.Options(round, 9).FlashCelsius).Distinct().Count() > 5);
    }

    [Fact]
    public void The_second_tester_heats_too_fast_in_every_third_round()
    {
        var tester = Testers[1];

        Assert.Equal([1, 4, 7], Enumerable.Range(0, 9).Where(round => tester.Options(round, 1).Excursion is not null));
        var run = new SimulatedRun((tester with { Thermometer = ThermometerChain.Plain }).Options(1, 1));
        var rates = Specimens.RatesBetween(run.ToArray(), run.Truth.Applications[0].TimeSeconds, run.Truth.Flash!.TimeSeconds);
        // Band of the controlled heating in ASTM D92: 5 to 6 °C/min.
        Assert.Contains(rates, rate => rate > 7.5);
    }

    [Fact]
    public void Rounds_follow_each_other_on_one_clock_without_a_jump()
    {
        var begun = new List<DemoRound>();
        var tester = Testers[2];

        var rows = new LoopingTester(tester, 5, begun.Add).Rows().TakeWhile(_ => begun.Count < 3).ToArray();

        Assert.Equal([0, 1, 2], begun.Select(round => round.Number));
        for (var index = 1; index < rows.Length; index++)
        {
            Assert.InRange(rows[index].AtSeconds - rows[index - 1].AtSeconds, 0.001, 1.1);
        }

        var seam = Array.FindIndex(rows, row => row.AtSeconds >= begun[1].StartsAtSeconds);
        Assert.InRange(rows[seam].TemperatureCelsius - rows[seam - 1].TemperatureCelsius, -0.5, 0.5);
        // By the time the heater goes on again the thermometer has settled in the fresh test portion.
        var heated = rows.First(row => row.AtSeconds >= begun[1].StartsAtSeconds + tester.PauseSeconds);
        Assert.InRange(heated.TemperatureCelsius, 24, 26);
    }

    [Fact]
    public void The_second_tester_sends_microvolts_whose_certificate_is_in_force_and_not_due_soon()
    {
        var chain = Testers[1].Thermometer;

        Assert.Equal(ThermometerUnit.Microvolt, chain.Unit);
        Assert.Equal(CalibrationStanding.Valid, CalibrationCurve.StandingOn(chain.Calibration!, Day).Standing);
        Assert.Equal(CalibrationStanding.Valid, CalibrationCurve.StandingOn(chain.Calibration!, Day.AddDays(200)).Standing);
        Assert.All(new[] { Testers[0], Testers[2] }, tester => Assert.True(tester.Thermometer.IsPlain));
    }

    [Fact]
    public void The_junction_of_the_second_tester_cools_from_round_to_round_without_a_jump()
    {
        var begun = new List<DemoRound>();

        var rows = new LoopingTester(Testers[1], 5, begun.Add).Rows().TakeWhile(_ => begun.Count < 3).ToArray();

        var seam = Array.FindIndex(rows, row => row.AtSeconds >= begun[1].StartsAtSeconds);
        // Two rounds' junction sensors may differ by 0.08 °C.
        Assert.InRange(rows[seam].JunctionCelsius - rows[seam - 1].JunctionCelsius, -0.1, 0.1);
        Assert.InRange(Signals.Corrected(Testers[1].Thermometer, rows[seam]) - Signals.Corrected(Testers[1].Thermometer, rows[seam - 1]), -0.6, 0.6);
    }

    [Fact(Timeout = 30000)]
    public async Task A_looping_tester_speaks_until_cancelled()
    {
        using var broker = new ScriptedBroker(_ => ScriptedBroker.Mishap.None);
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        var speaker = new MqttSpeaker(new() { Tester = "bench-1", Port = broker.Port }, TimeProvider.System);
        var speaking = new LoopingTester(Testers[0], 1).RunAsync(speaker, 60, stop.Token);

        while (broker.Received.Count <= 5 && !speaking.IsCompleted)
        {
            await Task.Delay(TimeSpan.FromMilliseconds(20), TimeProvider.System, TestContext.Current.CancellationToken);
        }

        Assert.False(speaking.IsCompleted);
        await stop.CancelAsync();
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => speaking);
    }

    [Fact]
    public void The_tester_that_is_worked_by_hand_leaves_a_person_the_time_for_a_key()
    {
        var tester = Assert.Single(Testers, tester => tester.IsGuided);

        // Applications are 22 s apart at 5.5 °C/min (ISO 2592: every 2 °C, value from memory): seven seconds of the person's own time.
        Assert.InRange(tester.FastestSpeed, 1, 3);
        Assert.All(new SimulatedRun(tester.Options(1, 1)).Take(100), row => Assert.Equal(RowChannels.Temperature, row.Present));
    }
}
