using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator.Physics;

/// <summary>Flash points that follow from vapour pressure and lower limit, beside published ones. Nothing in the model was fitted to them.</summary>
public sealed class PublishedFlashPointTests
{
    private static readonly string[] HexaneToTetradecane = ["n-hexane", "n-heptane", "n-octane", "n-nonane", "n-decane", "n-undecane", "n-dodecane", "n-tridecane", "n-tetradecane"];

    private static double Computed(string name) => Specimen.Pure(VapourPressureTests.Find(name)).ClosedFlashCelsius(101.325);

    private static double Difference(string name) => Computed(name) - VapourPressureTests.Find(name).PublishedFlash!.Celsius;

    [Fact]
    public void The_n_alkanes_from_hexane_to_tetradecane_flash_within_3_degrees_of_published_values_and_within_2_on_average()
    {
        Assert.All(HexaneToTetradecane, name => Assert.InRange(Difference(name), -3, 3));
        Assert.InRange(HexaneToTetradecane.Average(name => Math.Abs(Difference(name))), 0, 2);
        Assert.InRange(HexaneToTetradecane.Average(Difference), -1, 1);
    }

    // GOST 12.1.044-89, table 18: closed-cup flash points of alkanes, t = -73.22 + 0.693 boiling point, standard deviation 1.5 °C.
    [Theory]
    [InlineData("n-hexane")]
    [InlineData("n-heptane")]
    [InlineData("n-octane")]
    [InlineData("n-nonane")]
    [InlineData("n-decane")]
    [InlineData("n-undecane")]
    [InlineData("n-dodecane")]
    [InlineData("n-tridecane")]
    [InlineData("n-tetradecane")]
    [InlineData("n-pentadecane")]
    [InlineData("n-hexadecane")]
    public void The_n_alkanes_lie_on_the_published_line_over_their_boiling_points(string name) =>
        Assert.InRange(Computed(name) - (-73.22 + (0.693 * VapourPressureTests.Find(name).BoilingCelsius)), -1.5, 1.5);

    [Theory]
    [InlineData("toluene")]
    [InlineData("ethylbenzene")]
    [InlineData("o-xylene")]
    [InlineData("m-xylene")]
    [InlineData("p-xylene")]
    [InlineData("cumene")]
    [InlineData("methanol")]
    [InlineData("ethanol")]
    [InlineData("1-propanol")]
    [InlineData("1-butanol")]
    [InlineData("1-pentanol")]
    public void Aromatics_and_alcohols_flash_within_3_and_a_half_degrees_of_published_values(string name) => Assert.InRange(Difference(name), -3.5, 3.5);

    // Reference values of a Pensky-Martens cup in ASTM D93 (values from memory) and of a small-scale cup for dodecane (ASTM D7094).
    // Such cups read higher than equilibrium at the lower limit; this is no fit, and the gap is stated in the documentation.
    [Theory]
    [InlineData("n-decane", 52.8)]
    [InlineData("n-undecane", 68.7)]
    [InlineData("n-dodecane", 78.6)]
    [InlineData("n-tetradecane", 109.3)]
    [InlineData("n-hexadecane", 133.9)]
    public void Reference_materials_of_closed_cups_are_certified_2_to_9_degrees_above_equilibrium(string name, double certified) => Assert.InRange(certified - Computed(name), 2, 9);

    // Open-cup (Cleveland) reference values and their ±8 °C (values from memory).
    [Theory]
    [InlineData("n-tetradecane", 115.5)]
    [InlineData("n-hexadecane", 138.8)]
    public void The_film_over_an_open_cup_gives_the_open_cup_flash_point_within_the_references_8_degrees(string name, double reference)
    {
        var specimen = Specimen.Pure(VapourPressureTests.Find(name));

        Assert.InRange(specimen.OpenFlashCelsius(101.325), reference - 8, reference + 8);
        Assert.True(specimen.OpenFlashCelsius(101.325) > specimen.ClosedFlashCelsius(101.325) + 5);
    }
}
