using Acquire.Core.Methods;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator.Physics;

/// <summary>How flash points move with the barometer: nobody tells the model.</summary>
public sealed class BarometricTests
{
    private static readonly double[] Pressures = [82, 86, 90, 94, 98, 101.3, 104];

    public static TheoryData<string> Burning => new(Liquids.All.Where(liquid => liquid.Limit is not null).Select(liquid => liquid.Name));

    [Theory]
    [InlineData("iso-2592-2017", 200)]
    [InlineData("iso-2592-2017", 215)]
    [InlineData("iso-2592-2017", 230)]
    [InlineData("iso-2719-2016-a", 200)]
    [InlineData("iso-2719-2016-a", 215)]
    [InlineData("iso-2719-2016-a", 230)]
    public void The_flash_point_of_a_heavy_oil_moves_by_a_quarter_of_a_degree_a_kilopascal(string method, double flash)
    {
        var vapour = new VapourModel(new() { Method = Specimens.Method(method), FlashCelsius = flash });

        var found = Array.ConvertAll(Pressures, vapour.FlashReadingCelsius);

        // The standards correct by 0.25 °C/kPa.
        Assert.InRange(Slope(found), 0.22, 0.28);
    }

    [Theory]
    [MemberData(nameof(Burning))]
    public void Every_known_liquid_flashes_lower_under_less_air_in_both_cups(string name)
    {
        var specimen = Specimen.Pure(VapourPressureTests.Find(name));
        for (var kilopascals = 60.0; kilopascals < 110; kilopascals += 2)
        {
            Assert.True(specimen.ClosedFlashCelsius(kilopascals + 2) > specimen.ClosedFlashCelsius(kilopascals));
            Assert.True(specimen.OpenFlashCelsius(kilopascals + 2) > specimen.OpenFlashCelsius(kilopascals));
        }
    }

    [Fact]
    public void A_lighter_liquid_moves_less_than_a_heavier_one()
    {
        double Move(string name) => Slope(Array.ConvertAll(Pressures, Specimen.Pure(VapourPressureTests.Find(name)).ClosedFlashCelsius));

        // R T²/(latent heat · P) by Clausius and Clapeyron, less what the limit changes: 0.18 °C/kPa for decane, 0.20 for hexadecane.
        Assert.InRange(Move("n-decane"), 0.17, 0.19);
        Assert.InRange(Move("n-hexadecane"), Move("n-decane") + 0.01, 0.22);
    }

    [Fact]
    public void A_closed_cup_asks_for_less_vapour_at_the_surface_than_an_open_one()
    {
        Assert.Equal(CupKind.Closed, Specimens.Method("iso-2719-2016-a").Cup);
        Assert.True(VapourSpace.OpenFilm.AtSurface(0.01) > 2.5 * VapourSpace.UnderLid.AtSurface(0.01));
        Assert.Equal(0.01, VapourSpace.OpenFilm.AtFlame(VapourSpace.OpenFilm.AtSurface(0.01)), 1e-12);
    }

    private static double Slope(double[] celsius)
    {
        var (meanPressure, meanCelsius) = (Pressures.Average(), celsius.Average());
        return Pressures.Zip(celsius).Sum(pair => (pair.First - meanPressure) * (pair.Second - meanCelsius)) / Pressures.Sum(pressure => (pressure - meanPressure) * (pressure - meanPressure));
    }
}
