using Acquire.Core.Thermometry;
using Xunit;

namespace Acquire.Core.Tests.Thermometry;

public sealed class EmergentStemTests
{
    [Fact]
    public void A_mercury_thermometer_whose_stem_is_cooler_reads_too_low()
    {
        // 100 emergent degrees, 160 °C cooler: 0.00016 · 100 · 160 = 2.56 °C (our own figures, the formula is published).
        var sensor = new LiquidInGlassSensor(ThermometricLiquid.Mercury, 100, 40, null);

        Assert.Equal(2.56, EmergentStem.CorrectionCelsius(200, sensor), tolerance: 1e-12);
    }

    [Fact]
    public void A_published_example_comes_out_but_for_its_constant()
    {
        // hobbybrennen.ch, "Glass Thermometer - Stem Correction": 90 °C read, immersed to 0 °C, stem at 40 °C: 0.8 °C too low, with
        // mercury taken as 1/6000 per °C, 4 % more than here. The same page takes 1/1000 for ethanol, toluene and pentane.
        var sensor = new LiquidInGlassSensor(ThermometricLiquid.Mercury, 0, 40, null);

        Assert.Equal(0.8, EmergentStem.CorrectionCelsius(90, sensor) * (1.0 / 6000) / 0.00016, tolerance: 0.0501);
        Assert.Equal(1.0 / 6000, EmergentStem.ExpansionPerCelsius(ThermometricLiquid.Mercury), tolerance: 0.000007);
        Assert.Equal(1.0 / 1000, EmergentStem.ExpansionPerCelsius(ThermometricLiquid.Organic), tolerance: 1e-9);
    }

    [Fact]
    public void A_column_that_ends_in_the_specimen_needs_no_correction()
    {
        var sensor = new LiquidInGlassSensor(ThermometricLiquid.Mercury, 100, 40, null);

        Assert.Equal(0, EmergentStem.CorrectionCelsius(100, sensor));
        Assert.Equal(0, EmergentStem.CorrectionCelsius(20, sensor));
    }

    [Fact]
    public void A_partial_immersion_thermometer_is_corrected_for_the_stem_it_was_graduated_with()
    {
        var sensor = new LiquidInGlassSensor(ThermometricLiquid.Mercury, -6, 80, 60);

        Assert.Equal(0.00016 * 236 * -20, EmergentStem.CorrectionCelsius(230, sensor), tolerance: 1e-12);
        Assert.Equal(0, EmergentStem.CorrectionCelsius(230, sensor with { StemCelsius = 60 }));
    }
}
