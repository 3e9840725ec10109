using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

public sealed class SimulatorOptionsTests
{
    public static TheoryData<string, string> Broken => new()
    {
        { "flashCelsius", "60 is not within 79 to 400" },
        { "expectedFlashCelsius", "500 is not within 79 to 400" },
        { "fireCelsius", "225 is not within 226 to 376" },
        { "stationPressureKilopascals", "1013 is not within 60 to 110" },
        { "ambientCelsius", "NaN is not within 5 to 45" },
        { "startCelsius", "171 is not within -60 to 170" },
        { "thermometerStartCelsius", "-273 is not within -60 to 450" },
        { "leadInSeconds", "-1 is not within 0 to 3600" },
        { "coolingSeconds", "7201 is not within 0 to 7200" },
        { "controlledRateCelsiusPerMinute", "0.4 is not within 0.5 to 20" },
        { "rowsPerSecond", "5 is not within 10 to 500" },
        { "timestampJitterSeconds", "0.01 is not within 0 to 0.004" },
        { "thermometer.lagSeconds", "0 is not within 3 to 60" },
        { "thermometer.stepCelsius", "0 is not within 0.001 to 1" },
        { "excursion.toBelowExpectedCelsius", "30 is not within -150 to 20" },
        { "excursion.rateCelsiusPerMinute", "90 is not within 0.5 to 25" },
        { "scene.unitsPerSigma", "-4 is not within 0.001 to 100000" },
        { "scene.flashSigma", "0 is not within 1 to 2000" },
        { "scene.spikesPerSecond", "2 is not within 0 to 1" },
    };

    [Theory]
    [MemberData(nameof(Broken))]
    public void An_option_out_of_range_is_refused_by_name_with_its_range(string path, string message)
    {
        var options = Break(Specimens.BaseOil(), path);

        Assert.Contains(new InputError(path, message), options.Check());
        var refusal = Assert.Throws<ArgumentException>(() => new SimulatedRun(options));
        Assert.Contains(path, refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Good_options_have_no_errors() => Assert.Empty(Specimens.BaseOil().Check());

    [Fact]
    public void What_is_not_given_follows_from_flash_point_and_method()
    {
        var high = Specimens.BaseOil() with { FlashCelsius = 226.4 };
        var low = Specimens.BaseOil() with { FlashCelsius = 79, FireCelsius = 85 };

        Assert.Equal((226, 25), (high.Expected, high.Start));
        // ISO 2592 and ASTM D92: the test portion starts at least 56 °C below the expected flash point.
        Assert.Equal(23, low.Start);
        Assert.Empty(low.Check());
    }

    private static SimulatorOptions Break(SimulatorOptions good, string path) => path switch
    {
        "flashCelsius" => good with { FlashCelsius = 60 },
        "expectedFlashCelsius" => good with { ExpectedFlashCelsius = 500 },
        "fireCelsius" => good with { FireCelsius = 225 },
        "stationPressureKilopascals" => good with { StationPressureKilopascals = 1013 },
        "ambientCelsius" => good with { AmbientCelsius = double.NaN },
        "startCelsius" => good with { StartCelsius = 171 },
        "thermometerStartCelsius" => good with { ThermometerStartCelsius = -273 },
        "leadInSeconds" => good with { LeadInSeconds = -1 },
        "coolingSeconds" => good with { CoolingSeconds = 7201 },
        "controlledRateCelsiusPerMinute" => good with { ControlledRateCelsiusPerMinute = 0.4 },
        "rowsPerSecond" => good with { RowsPerSecond = 5 },
        "timestampJitterSeconds" => good with { TimestampJitterSeconds = 0.01 },
        "thermometer.lagSeconds" => good with { Thermometer = new() { LagSeconds = 0 } },
        "thermometer.stepCelsius" => good with { Thermometer = new() { StepCelsius = 0 } },
        "excursion.toBelowExpectedCelsius" => good with { Excursion = new(20, 30, 9) },
        "excursion.rateCelsiusPerMinute" => good with { Excursion = new(40, 20, 90) },
        "scene.unitsPerSigma" => good with { Scene = new() { UnitsPerSigma = -4 } },
        "scene.flashSigma" => good with { Scene = new() { FlashSigma = 0 } },
        "scene.spikesPerSecond" => good with { Scene = new() { SpikesPerSecond = 2 } },
        _ => throw new ArgumentException(path, nameof(path)),
    };
}
