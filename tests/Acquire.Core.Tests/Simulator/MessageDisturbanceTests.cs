using Acquire.Core.Readings;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

/// <summary>What becomes of readings on their way, in a file and on a wire alike.</summary>
public sealed class MessageDisturbanceTests
{
    private static readonly SimulatorOptions Run = Specimens.BaseOil(5) with { FireCelsius = null, CoolingSeconds = 10 };
    private static readonly ReadingRow[] Plain = [.. new SimulatedRun(Run)];

    private static ReadingRow[] With(params Disturbance[] disturbances) => [.. new SimulatedRun(Run with { Disturbances = disturbances })];

    [Fact]
    public void Dropped_messages_are_missing_and_all_else_is_as_it_was()
    {
        var rows = With(new Disturbance(DisturbanceKind.Dropped, 5));

        Assert.InRange(1 - (rows.Length / (double)Plain.Length), 0.04, 0.06);
        Assert.Empty(rows.Except(Plain));
        Assert.True(rows.Zip(rows.Skip(1)).All(pair => pair.First.AtSeconds < pair.Second.AtSeconds));
        Assert.True(rows.Zip(rows.Skip(1)).Max(pair => pair.Second.AtSeconds - pair.First.AtSeconds) < 0.45);
    }

    [Fact]
    public void Duplicated_messages_come_twice_as_they_are()
    {
        var rows = With(new Disturbance(DisturbanceKind.Duplicated, 5));

        Assert.InRange((rows.Length / (double)Plain.Length) - 1, 0.04, 0.06);
        Assert.Equal(Plain, rows.Distinct());
    }

    [Fact]
    public void Reordered_messages_all_come_but_some_too_late()
    {
        var rows = With(new Disturbance(DisturbanceKind.Reordered, 5));

        Assert.NotEqual(Plain, rows);
        Assert.Equal(Plain, rows.OrderBy(row => row.AtSeconds));
        var back = rows.Zip(rows.Skip(1)).Where(pair => pair.Second.AtSeconds < pair.First.AtSeconds).ToArray();
        Assert.True(back.Length > 50);
        Assert.All(back, pair => Assert.InRange(pair.First.AtSeconds - pair.Second.AtSeconds, 0.01, 0.42));
    }

    [Theory]
    [InlineData(45)]
    [InlineData(-45)]
    public void A_clock_jumps_and_comes_back(double jump)
    {
        var rows = With(new Disturbance(DisturbanceKind.ClockJump, jump, 300, 60));

        Assert.Equal(Plain.Select(row => row.AtSeconds is >= 300 and < 360 ? row with { AtSeconds = Math.Round(row.AtSeconds + jump, 4) } : row), rows);
    }

    [Fact]
    public void They_happen_only_in_their_time()
    {
        var rows = With(new(DisturbanceKind.Dropped, 50, 400, 100), new(DisturbanceKind.Duplicated, 50, 600, 100), new(DisturbanceKind.Reordered, 50, 800, 100));

        Assert.Equal(Plain.Where(row => row.AtSeconds < 400), rows.TakeWhile(row => row.AtSeconds < 400));
        Assert.Equal(Plain.Where(row => row.AtSeconds is >= 500.5 and < 600), rows.Where(row => row.AtSeconds is >= 500.5 and < 600));
        Assert.InRange(rows.Count(row => row.AtSeconds is >= 400 and < 500), 1500, 3500);
        Assert.InRange(rows.Count(row => row.AtSeconds is >= 600 and < 700), 6500, 8500);
        Assert.Equal(5000, rows.Count(row => row.AtSeconds is >= 800 and < 900));
    }

    [Fact]
    public void The_truth_counts_the_stretches()
    {
        var truth = new SimulatedRun(Run with { Disturbances = [new(DisturbanceKind.Dropped, 2), new(DisturbanceKind.ClockJump)] }).Truth;

        // 2 % in stretches of 0.21 s on average.
        Assert.InRange(truth.Disturbances![0].Count, truth.EndSeconds * 0.02 / 0.21 * 0.7, truth.EndSeconds * 0.02 / 0.21 * 1.3);
        Assert.Equal(600, Assert.Single(truth.Disturbances[1].TimesSeconds));
    }
}
