using System.Globalization;
using Xunit;

namespace Acquire.Core.Tests.Control;

/// <summary>The ramp on cups drawn at random. The limits asserted are those of docs/heating-control.md.</summary>
public sealed class RampControllerTests(ITestOutputHelper output)
{
    /// <summary>A constant ramp is judged from here on, s.</summary>
    internal const double SettledBySeconds = 480;

    [Theory]
    [InlineData("Good", 67)]
    [InlineData("Poor", 67)]
    [InlineData("None", 66)]
    public void An_open_cup_keeps_the_band_over_the_last_28_degrees_and_on_to_the_fire_point(string knowledge, int cups)
    {
        var campaign = Run(CupKind.Open, knowledge, cups);

        Assert.InRange(campaign.Lowest, 5.0, 5.5);
        Assert.InRange(campaign.Highest, 5.5, 6.0);
        Assert.InRange(campaign.TrueWorst, 0, 0.2);
        Assert.InRange(campaign.StartHighest, 14, 17.6);
        Assert.Equal(0, campaign.Trips);
    }

    [Theory]
    [InlineData("Good", 0.5)]
    [InlineData("Poor", 0.6)]
    [InlineData("None", 0.8)]
    public void Where_start_heating_may_not_be_slowed_before_56_degrees_below_the_band_holds_with_less_room(string knowledge, double worst)
    {
        var campaign = Run(CupKind.OpenNarrowStart, knowledge, 20);

        Assert.InRange(campaign.Heatings.Max(heating => heating.WorstFrom(5.5)), 0, worst);
        Assert.Equal(0, campaign.Trips);
    }

    [Theory]
    [InlineData("Closed", "Good", 5.0, 6.0)]
    [InlineData("Closed", "Poor", 5.0, 6.0)]
    [InlineData("Closed", "None", 5.0, 6.0)]
    [InlineData("Bath", "Good", 2.7, 3.3)]
    [InlineData("Bath", "Poor", 2.7, 3.3)]
    [InlineData("Bath", "None", 2.7, 3.3)]
    [InlineData("SlowBath", "Good", 0.75, 1.25)]
    [InlineData("SlowBath", "Poor", 0.75, 1.25)]
    [InlineData("SlowBath", "None", 0.75, 1.25)]
    public void A_constant_ramp_stands_after_eight_minutes(string kind, string knowledge, double lowest, double highest)
    {
        var campaign = Run(Enum.Parse<CupKind>(kind), knowledge, 16);

        Assert.InRange(campaign.Lowest, lowest, highest);
        Assert.InRange(campaign.Highest, lowest, highest);
        Assert.InRange(campaign.TrueWorst, 0, 0.15);
        Assert.Equal(0, campaign.Trips);
    }

    /// <summary>A few cups of each kind in a usual run; with ACQUIRE_CUPS=667 the table of docs/heating-control.md, which takes minutes.</summary>
    [Fact]
    public void Cups_of_every_kind_are_heated_without_a_trip()
    {
        var cups = int.TryParse(Environment.GetEnvironmentVariable("ACQUIRE_CUPS"), NumberStyles.None, CultureInfo.InvariantCulture, out var asked) ? asked : 4;
        foreach (var kind in Enum.GetValues<CupKind>())
        {
            foreach (var knowledge in Enum.GetValues<Knowledge>())
            {
                var campaign = Campaign.Of(kind, knowledge, cups, 1_000_000, SettledBySeconds);
                output.WriteLine(campaign.Row());
                Assert.Equal(0, campaign.Trips);
            }
        }
    }

    private Campaign Run(CupKind kind, string knowledge, int cups)
    {
        var campaign = Campaign.Of(kind, Enum.Parse<Knowledge>(knowledge), cups, 1000 * ((int)kind + 1), SettledBySeconds);
        output.WriteLine(campaign.Row());
        return campaign;
    }
}
