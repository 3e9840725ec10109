using Acquire.Core.Methods;
using Xunit;

namespace Acquire.Core.Tests.Methods;

public sealed class PrecisionTests
{
    // ASTM D3828, precision: 20 to 70 °C r 0.5, R 0.03 (X + 29); above r 0.022 X^0.9, R 0.083 X^0.9. Value from memory.
    private static readonly Precision SmallScale = new()
    {
        Pieces =
        [
            new() { ToCelsius = 70, Repeatability = new() { ConstantCelsius = 0.5 }, Reproducibility = new() { Factor = 0.03, OffsetCelsius = 29 } },
            new() { FromCelsius = 70, Repeatability = new() { Factor = 0.022, Exponent = 0.9 }, Reproducibility = new() { Factor = 0.083, Exponent = 0.9 } },
        ],
    };

    // 16 CFR 1500.43a, table 2, prints r and R with one decimal.
    [Theory]
    [InlineData(20, 0.5, 1.4)]
    [InlineData(70, 0.5, 2.9)]
    [InlineData(93, 1.3, 4.9)]
    [InlineData(150, 2.0, 7.5)]
    [InlineData(200, 2.6, 9.9)]
    [InlineData(260, 3.3, 12.4)]
    public void Formulas_by_temperature_give_the_printed_table(double celsius, double repeatability, double reproducibility)
    {
        Assert.Equal(repeatability, SmallScale.RepeatabilityAt(celsius)!.Value, 0.15);
        Assert.Equal(reproducibility, SmallScale.ReproducibilityAt(celsius)!.Value, 0.15);
    }

    [Fact]
    public void Plain_numbers_hold_at_every_temperature()
    {
        var precision = new Precision(8, 18);

        Assert.All(new[] { -50.0, 0, 230 }, celsius => Assert.Equal((8, 18), (precision.RepeatabilityAt(celsius), precision.ReproducibilityAt(celsius))));
    }

    [Fact]
    public void A_piece_for_a_material_holds_for_that_material_alone()
    {
        var precision = new Precision
        {
            Pieces =
            [
                new() { ToCelsius = 100, Material = "residual fuel", Repeatability = new() { ConstantCelsius = 2 }, Reproducibility = new() { ConstantCelsius = 6 } },
                new() { Repeatability = new() { ConstantCelsius = 5 }, Reproducibility = new() { ConstantCelsius = 10 } },
            ],
        };

        Assert.Equal((2, 6), (precision.RepeatabilityAt(90, "residual fuel"), precision.ReproducibilityAt(90, "residual fuel")));
        Assert.Equal((5, 10), (precision.RepeatabilityAt(90), precision.ReproducibilityAt(120)));
        // ISO 2719 states none for residual fuel above 100 °C: that of other materials is not lent to it.
        Assert.Equal((null, null), (precision.RepeatabilityAt(120, "residual fuel"), precision.ReproducibilityAt(120, "residual fuel")));
    }

    [Fact]
    public void Where_no_piece_fits_or_a_formula_gives_nothing_no_limit_is_stated()
    {
        var narrow = new Precision { Pieces = [new() { FromCelsius = 20, ToCelsius = 70, Repeatability = new() { ConstantCelsius = 0.5 }, Reproducibility = new() { ConstantCelsius = 1 } }] };

        Assert.Null(narrow.RepeatabilityAt(19.9));
        Assert.Null(narrow.ReproducibilityAt(70.1));
        Assert.Null(new Precision { Repeatability = new() { Factor = 0.029 } }.RepeatabilityAt(-5));
        Assert.Null(new Precision { Reproducibility = new() { Factor = 0.083, Exponent = 0.9 } }.ReproducibilityAt(-5));
    }

    [Fact]
    public void A_method_lists_the_materials_for_which_it_has_figures_of_their_own()
    {
        Assert.Equal(["residual fuel"], Of("iso-2719-2016-b").Materials);
        Assert.Equal(["fatty acid methyl esters"], Of("iso-3679-2022-b").Materials);
        Assert.Equal(["hydrocarbon solvents"], Of("astm-d1310-14").Materials);
        Assert.Empty(Of("iso-2592-2017").Materials);

        static MethodDefinition Of(string id) => MethodCatalog.TryFind(id, out var method) ? method : throw new InvalidOperationException();
    }

    [Theory]
    [InlineData("iso-3679-2022-b", 19.9, null)]
    [InlineData("iso-3679-2022-b", 20.0, 0.5)]
    [InlineData("iso-3679-2022-b", -17.8, null)]
    [InlineData("astm-d1310-14", 15.5, null)]
    [InlineData("iso-2719-2016-b", 100.5, null)]
    public void Outside_the_range_of_its_source_no_precision_is_stated(string id, double celsius, double? repeatability)
    {
        Assert.True(MethodCatalog.TryFind(id, out var method));
        Assert.Equal(repeatability, method.FlashPrecision!.RepeatabilityAt(celsius, method.Materials.FirstOrDefault(material => method.FlashPrecision.Pieces!.Any(piece => piece.Material == material))));
    }
}
