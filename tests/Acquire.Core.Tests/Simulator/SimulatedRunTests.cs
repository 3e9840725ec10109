using Acquire.Core.Readings;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

public sealed class SimulatedRunTests
{
    [Fact]
    public void Equal_options_give_equal_rows_and_another_seed_gives_others()
    {
        var first = new SimulatedRun(Specimens.BaseOil(7));
        var again = new SimulatedRun(Specimens.BaseOil(7));
        var other = new SimulatedRun(Specimens.BaseOil(8));

        var rows = first.ToArray();

        Assert.Equal(rows, again.ToArray());
        Assert.Equal(rows, first.ToArray());
        Assert.NotEqual(rows, other.ToArray());
    }

    [Fact]
    public void A_seed_keeps_its_rows_from_version_to_version()
    {
        // Recorded from this simulator; a change here breaks every seed written beside a trace and wants a note in the change log.
        var run = new SimulatedRun(Specimens.BaseOil(42));

        var rows = string.Join("; ", run.Take(4).Select(row => FormattableString.Invariant($"{row.TemperatureCelsius} {row.Detector}")));
        Assert.Equal("25 1199.5; 25 1199.4; 25 1199.9; 25 1191", rows);
        Assert.Equal("1308.1 1596.5", FormattableString.Invariant($"{run.Truth.Flash!.TimeSeconds:F1} {run.Truth.Fire!.TimeSeconds:F1}"));
    }

    [Theory]
    [InlineData(10)]
    [InlineData(50)]
    [InlineData(500)]
    public void The_truth_does_not_depend_on_the_reading_rate(double rowsPerSecond)
    {
        var reference = new SimulatedRun(Specimens.BaseOil(3)).Truth;
        var run = new SimulatedRun(Specimens.BaseOil(3) with { RowsPerSecond = rowsPerSecond });

        Assert.Equal(reference.Flash, run.Truth.Flash);
        Assert.Equal(reference.Fire, run.Truth.Fire);
        Assert.Equal(reference.Applications, run.Truth.Applications);
        Assert.InRange(run.Count() / reference.EndSeconds, rowsPerSecond * 0.999, rowsPerSecond * 1.001);
    }

    [Fact]
    public void Jittered_moments_stay_in_order_and_near_their_place()
    {
        var rows = new SimulatedRun(Specimens.BaseOil() with { TimestampJitterSeconds = 0.004 }).Take(20_000).ToArray();

        for (var index = 1; index < rows.Length; index++)
        {
            Assert.True(rows[index].AtSeconds > rows[index - 1].AtSeconds);
            Assert.InRange(rows[index].AtSeconds - (index / 50.0), -0.0081, 0.0081);
        }

        Assert.Contains(rows, row => Math.Abs((row.AtSeconds * 50) - Math.Round(row.AtSeconds * 50)) > 0.1);
    }

    [Fact]
    public void Flame_rows_cover_each_pass_and_are_absent_without_the_signal()
    {
        var run = new SimulatedRun(Specimens.BaseOil(5));
        var rows = run.ToArray();

        foreach (var pass in run.Truth.Applications)
        {
            var over = rows.Where(row => Math.Abs(row.AtSeconds - pass.TimeSeconds) < 5 && row.FlameOver).ToArray();
            Assert.InRange(over[0].AtSeconds, pass.TimeSeconds, pass.TimeSeconds + 0.02);
            Assert.InRange(over[^1].AtSeconds - over[0].AtSeconds, pass.DurationSeconds - 0.04, pass.DurationSeconds);
        }

        Assert.Equal(run.Truth.Applications.Count, rows.Zip(rows.Skip(1)).Count(pair => !pair.First.FlameOver && pair.Second.FlameOver));
        Assert.All(new SimulatedRun(Specimens.BaseOil(5) with { HasFlameSignal = false }), row => Assert.Equal(RowChannels.Temperature | RowChannels.Detector, row.Present));
    }

    [Fact]
    public void Temperatures_come_in_display_steps_with_the_thermometers_noise()
    {
        var options = Specimens.BaseOil() with { LeadInSeconds = 600, AmbientCelsius = 25, Thermometer = new() { NoiseCelsius = 0.05, StepCelsius = 0.01 } };

        var resting = new SimulatedRun(options).TakeWhile(row => row.AtSeconds < 500).Select(row => row.TemperatureCelsius).ToArray();

        Assert.All(resting, celsius => Assert.Equal(Math.Round(celsius, 2), celsius));
        var mean = resting.Average();
        Assert.InRange(Math.Sqrt(resting.Average(celsius => (celsius - mean) * (celsius - mean))), 0.048, 0.055);
    }

    [Fact]
    public void Detector_noise_has_the_stated_deviation()
    {
        var options = Specimens.BaseOil(11).InSigma() with { LeadInSeconds = 1000 };

        var white = new SimulatedRun(options).TakeWhile(row => row.AtSeconds < 900).Select(row => row.Detector).ToArray();
        var coloured = new SimulatedRun(options with { Scene = options.Scene with { WhiteShare = 0.6 } }).TakeWhile(row => row.AtSeconds < 900).Select(row => row.Detector).ToArray();

        Assert.InRange(white.Average(value => value * value), 0.97, 1.03);
        Assert.InRange(coloured.Average(value => value * value), 0.94, 1.06);
        // Neighbours share the 40 % with memory: 0.4 exp(-0.02/0.3) = 0.374.
        Assert.InRange(coloured.Zip(coloured.Skip(1)).Average(pair => pair.First * pair.Second), 0.32, 0.43);
    }
}
