using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator.Physics;

public sealed class VapourPressureTests
{
    public static TheoryData<string> Names => new(Liquids.All.Select(liquid => liquid.Name));

    internal static Liquid Find(string name) => Liquids.TryFind(name, out var liquid) ? liquid : throw new ArgumentException(name, nameof(name));

    [Theory]
    [MemberData(nameof(Names))]
    public void At_its_published_boiling_point_a_liquid_has_the_pressure_of_the_air_within_one_per_cent(string name)
    {
        var liquid = Find(name);

        Assert.True(liquid.VapourPressure.Covers(liquid.BoilingCelsius));
        Assert.InRange(liquid.VapourPressure.Kilopascals(liquid.BoilingCelsius), 0.99 * 101.325, 1.01 * 101.325);
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void Pressure_rises_with_temperature_and_the_coefficients_cover_the_flash_point(string name)
    {
        var liquid = Find(name);
        for (var celsius = -30; celsius < 200; celsius++)
        {
            Assert.True(liquid.VapourPressure.Kilopascals(celsius + 1) > liquid.VapourPressure.Kilopascals(celsius));
        }

        Assert.True(liquid.Limit is null || liquid.VapourPressure.Covers(Specimen.Pure(liquid).ClosedFlashCelsius(101.325)));
    }

    // Enthalpies of vaporization, kJ/mol: handbook values from memory (at the boiling point 40.65 and 35.8; at 25 °C 42.3 and 51.4). At 1 atm the vapour is not quite perfect, which adds some 2 to 5 %.
    [Theory]
    [InlineData("water", 100, 40.65)]
    [InlineData("n-octane", 25, 41.5)]
    [InlineData("n-decane", 25, 51.4)]
    [InlineData("ethanol", 25, 42.3)]
    public void The_enthalpy_of_vaporization_that_the_equation_implies_is_the_published_one(string name, double celsius, double published)
    {
        Assert.InRange(Find(name).VapourPressure.LatentJoulesPerMole(celsius) / 1000, 0.97 * published, 1.05 * published);
    }
}
