using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator.Physics;

public sealed class SpecimenTests
{
    [Theory]
    [InlineData("n-decane", "n-decane")]
    [InlineData("n-decane:1", "n-decane")]
    [InlineData("n-decane:0.9,n-octane:0.1", "n-decane:0.9,n-octane:0.1")]
    [InlineData(" ethanol : 0.25 , water : 0.75 ", "ethanol:0.25,water:0.75")]
    public void A_specimen_is_read_and_said_again(string text, string words)
    {
        Assert.True(Specimen.TryParse(text, "specimen", out var specimen, out _));
        Assert.Equal(words, specimen.Words);
        Assert.True(Specimen.TryParse(specimen.Words, "specimen", out var again, out _));
        Assert.Equal(specimen, again);
    }

    [Theory]
    [InlineData("", "'' is no liquid that the simulator knows; there are n-hexane,")]
    [InlineData("N-DECANE", "'N-DECANE' is no liquid")]
    [InlineData("n-decane,", "'n-decane' has no mole fraction")]
    [InlineData("n-decane:0.5", "add up to 0.5, not to 1")]
    [InlineData("n-decane:0.5,n-octane:0.6", "add up to 1.1, not to 1")]
    [InlineData("n-decane:0.5,n-octane", "'n-octane' has no mole fraction")]
    [InlineData("n-decane:0,5", "'0' is no mole fraction of n-decane: a number above 0 and up to 1")]
    [InlineData("n-decane:-1,n-octane:2", "'-1' is no mole fraction")]
    [InlineData("n-decane:NaN,n-octane:0.5", "'NaN' is no mole fraction")]
    [InlineData("n-decane:1e400", "is no mole fraction")]
    [InlineData("n-decane:", "'' is no mole fraction")]
    [InlineData("n-decane:0.5,n-decane:0.5", "n-decane is given twice")]
    [InlineData("water", "water alone does not burn")]
    [InlineData("n-decane:0.5,water:0.5", "how n-decane and water mix is not known here; liquids of one kind mix ideally, and of unlike ones there are methanol + water")]
    public void What_is_no_specimen_is_refused_with_what_is_allowed(string text, string message)
    {
        Assert.False(Specimen.TryParse(text, "--specimen", out var specimen, out var error));

        Assert.Null(specimen);
        Assert.Equal("--specimen", error!.Path);
        Assert.Contains(message, error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_flash_point_outside_the_methods_scope_is_refused_with_both()
    {
        Specimen.TryParse("n-decane", "specimen", out var specimen, out _);
        var options = new SimulatorOptions { Method = Specimens.Method(), FlashCelsius = 0 }.WithSpecimen(specimen!);

        var error = Assert.Single(options.Check());

        Assert.Equal("specimen", error.Path);
        Assert.Contains("n-decane flashes at 6", error.Message, StringComparison.Ordinal);
        Assert.Contains("not within 79 to 400", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_specimen_with_another_flash_point_than_its_own_is_refused()
    {
        Specimen.TryParse("n-hexadecane", "specimen", out var specimen, out _);
        var options = new SimulatorOptions { Method = Specimens.Method(), FlashCelsius = 0 }.WithSpecimen(specimen!);

        Assert.Empty(options.Check());
        Assert.Equal("flashCelsius", Assert.Single((options with { FlashCelsius = 150, FireCelsius = null }).Check()).Path);
        Assert.Equal("fireCelsius", Assert.Single((options with { FireCelsius = 200 }).Check()).Path);
    }
}
