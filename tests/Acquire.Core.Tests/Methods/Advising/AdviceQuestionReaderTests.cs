using Acquire.Core.Methods.Advising;
using Xunit;

namespace Acquire.Core.Tests.Methods.Advising;

public sealed class AdviceQuestionReaderTests
{
    [Fact]
    public void Everything_that_can_be_said_is_read() => Assert.Equal(
        new AdviceQuestion { Product = ProductKind.LubricantInService, ExpectedFlashCelsius = 210.5, Viscosity = new(95, 40), Solids = true, FilmForming = true, FirePoint = true, VolatileContamination = true, Purpose = TestPurpose.InServiceTrend },
        Ask.Question("product=lubricant-in-service expected-flash=210.5 viscosity=95 viscosity-at=40 solids=true film-forming=true fire-point=true volatile-contamination=true purpose=in-service-trend"));

    [Theory]
    [InlineData("product=fame")]
    [InlineData("product=fame expected-flash=unknown solids=false")]
    public void What_is_not_said_is_unknown_or_absent(string words) => Assert.Equal(new AdviceQuestion { Product = ProductKind.Fame }, Ask.Question(words));

    [Fact]
    public void Every_word_for_a_product_and_a_purpose_is_read_back()
    {
        Assert.Equal(["distillate-fuel", "residual-fuel", "lubricant-new", "lubricant-in-service", "fame", "solvent", "paint", "bitumen", "other"], AdviceWords.All<ProductKind>());
        Assert.Equal(["specification", "hazard-class", "in-service-trend", "teaching"], AdviceWords.All<TestPurpose>());
        Assert.All(AdviceWords.All<ProductKind>(), word => Assert.Equal(word, AdviceWords.Of(AdviceWords.Find<ProductKind>(word)!.Value)));
    }

    [Theory]
    [InlineData("expected-flash=100", "--product", "is missing; allowed: distillate-fuel, residual-fuel")]
    [InlineData("product=Fame", "--product", "there is no 'Fame'; allowed: distillate-fuel")]
    [InlineData("product=4", "--product", "there is no '4'")]
    [InlineData("product=fame expected-flash=400.1", "--expected-flash", "within -30 to 400 °C, or unknown")]
    [InlineData("product=fame expected-flash=NaN", "--expected-flash", "'NaN' is not a number")]
    [InlineData("product=fame expected-flash=120,5", "--expected-flash", "'120,5' is not a number with a decimal point")]
    [InlineData("product=fame viscosity=4", "--viscosity-at", "is missing; --viscosity says nothing without it")]
    [InlineData("product=fame viscosity-at=40", "--viscosity", "is missing; --viscosity-at says nothing without it")]
    [InlineData("product=fame viscosity=0 viscosity-at=40", "--viscosity", "within 0.1 to 1000000 mm²/s")]
    [InlineData("product=fame viscosity=4 viscosity-at=201", "--viscosity-at", "within -60 to 200 °C")]
    [InlineData("product=fame solids=yes", "--solids", "'yes' is neither true nor false")]
    [InlineData("product=fame purpose=sale", "--purpose", "there is no 'sale'; allowed: specification, hazard-class, in-service-trend, teaching")]
    [InlineData("product=fame colour=red", "--colour", "is not known; allowed: --product, --expected-flash")]
    public void A_mistake_names_its_option_and_what_is_allowed(string words, string path, string message)
    {
        var error = Assert.Single(Ask.Errors(words));
        Assert.Equal(path, error.Path);
        Assert.Contains(message, error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Every_mistake_is_told_at_once() => Assert.Equal(["--colour", "--product", "--expected-flash", "--purpose"], Ask.Errors("colour=red expected-flash=hot purpose=sale").Select(error => error.Path));
}
