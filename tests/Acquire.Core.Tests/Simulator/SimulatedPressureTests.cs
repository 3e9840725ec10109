using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

public sealed class SimulatedPressureTests
{
    private static readonly double[] Pressures = [82, 86, 90, 94, 98, 101.3, 104];

    [Theory]
    [InlineData(180, 205)]
    [InlineData(200, 226)]
    [InlineData(220, 250)]
    public void Pressure_moves_flash_and_fire_point_as_the_standards_correct_them(double flash, double fire)
    {
        // ISO 2592 and ASTM D92 correct by 0.25 °C/kPa. The simulator does not know that figure: it follows from the vapour pressure.
        var truths = Array.ConvertAll(Pressures, kilopascals => new SimulatedRun(Specimens.BaseOil() with { FlashCelsius = flash, FireCelsius = fire, StationPressureKilopascals = kilopascals }).Truth);

        Assert.InRange(Slope(Array.ConvertAll(truths, truth => truth.FlashAtStationCelsius)), 0.22, 0.28);
        Assert.InRange(Slope(Array.ConvertAll(truths, truth => truth.FireAtStationCelsius!.Value)), 0.22, 0.29);
    }

    [Fact]
    public void Standard_pressure_gives_the_flash_and_fire_point_asked_for()
    {
        var truth = new SimulatedRun(Specimens.BaseOil()).Truth;

        Assert.Equal(226, truth.FlashAtStationCelsius, 0.001);
        Assert.Equal(252, truth.FireAtStationCelsius!.Value, 0.001);
    }

    [Fact]
    public void Whole_runs_show_the_same_slope_as_the_vapour_does()
    {
        // Shifting the schedule by half a degree finds the onset between two applications to a quarter of a degree.
        var found = Array.ConvertAll(Pressures, kilopascals => new[] { 220, 220.5, 221, 221.5 }.Average(expected =>
        {
            var truth = new SimulatedRun(Specimens.BaseOil() with { FlashCelsius = 220, FireCelsius = null, ExpectedFlashCelsius = expected, StationPressureKilopascals = kilopascals }).Truth;
            return truth.Applications[truth.Flash!.ApplicationNumber - 1].TemperatureCelsius;
        }));

        Assert.InRange(Slope(found), 0.22, 0.28);
        // On average the first flash comes half an interval above the onset.
        Assert.InRange(found[5] - 220, 0.5, 1.5);
    }

    private static double Slope(double[] celsius)
    {
        var meanPressure = Pressures.Average();
        var meanCelsius = celsius.Average();
        var product = Pressures.Zip(celsius).Sum(pair => (pair.First - meanPressure) * (pair.Second - meanCelsius));
        return product / Pressures.Sum(kilopascals => (kilopascals - meanPressure) * (kilopascals - meanPressure));
    }
}
