using Acquire.Core.Methods;
using Acquire.Core.Methods.Advising;
using Xunit;

namespace Acquire.Core.Tests.Methods.Advising;

/// <summary>Each rule beside its twin: what is just inside and what is just outside.</summary>
public sealed class RulingOutTests
{
    [Theory]

    // ISO 2592, clause 1: above 79 °C; ASTM D92, clause 1: up to 400 °C.
    [InlineData("iso-2592-2017", "product=lubricant-new expected-flash=79", "product=lubricant-new expected-flash=78.9", "flash-outside-scope")]
    [InlineData("astm-d92-18", "product=lubricant-new expected-flash=400", "product=lubricant-new expected-flash=78.9", "flash-outside-scope")]

    // ISO 2719, clause 1: 40 to 370 °C; procedure C 60 to 190 °C.
    [InlineData("iso-2719-2016-a", "product=lubricant-new expected-flash=370", "product=lubricant-new expected-flash=370.1", "flash-outside-scope")]
    [InlineData("iso-2719-2016-c", "product=fame expected-flash=190", "product=fame expected-flash=190.1", "flash-outside-scope")]

    // ISO 13736, clause 1: -30.0 to 75.0 °C.
    [InlineData("iso-13736-2021", "product=solvent expected-flash=75", "product=solvent expected-flash=75.1", "flash-outside-scope")]
    [InlineData("iso-13736-2021", "product=solvent expected-flash=unknown", "product=solvent expected-flash=80", "flash-outside-scope")]

    // ASTM D56, 1.1: below 5.5 mm²/s at 40 °C or 9.5 mm²/s at 25 °C.
    [InlineData("astm-d56-22", "product=solvent expected-flash=50 viscosity=5.4 viscosity-at=40", "product=solvent expected-flash=50 viscosity=9.5 viscosity-at=40", "viscosity-above-limit")]
    [InlineData("astm-d56-22", "product=solvent expected-flash=50 viscosity=9.4 viscosity-at=25", "product=solvent expected-flash=50 viscosity=9.5 viscosity-at=60", "viscosity-above-limit")]
    [InlineData("astm-d56-22", "product=other expected-flash=50", "product=other expected-flash=50 solids=true", "solids-not-allowed")]
    [InlineData("astm-d56-22", "product=other expected-flash=50 film-forming=false", "product=other expected-flash=50 film-forming=true", "film-not-allowed")]
    [InlineData("astm-d56-22", "product=solvent expected-flash=50", "product=paint expected-flash=50", "film-not-allowed")]

    // ISO 2719, clause 1: procedure B is the one for solids and films.
    [InlineData("iso-2719-2016-a", "product=lubricant-in-service expected-flash=200", "product=lubricant-in-service expected-flash=200 solids=true", "solids-not-allowed")]
    [InlineData("astm-d93-20-a", "product=lubricant-in-service expected-flash=200", "product=lubricant-in-service expected-flash=200 film-forming=true", "film-not-allowed")]
    [InlineData("astm-d93-20-a", "product=distillate-fuel expected-flash=65", "product=residual-fuel expected-flash=65", "product-excluded")]
    [InlineData("astm-d93-20-a", "product=distillate-fuel expected-flash=65", "product=fame expected-flash=65", "product-excluded")]
    [InlineData("iso-2719-2016-c", "product=fame expected-flash=150", "product=lubricant-new expected-flash=150", "product-excluded")]
    [InlineData("iso-2719-2016-c", "product=fame expected-flash=150", "product=solvent expected-flash=150", "other-products-only")]
    [InlineData("iso-2592-2017", "product=lubricant-new expected-flash=90", "product=distillate-fuel expected-flash=90", "product-excluded")]
    [InlineData("iso-2592-2017", "product=lubricant-new expected-flash=90", "product=residual-fuel expected-flash=90", "product-excluded")]
    [InlineData("iso-2592-2017", "product=other expected-flash=150", "product=fame expected-flash=150", "other-products-only")]
    [InlineData("astm-d1310-14", "product=solvent expected-flash=40", "product=paint expected-flash=40", "product-excluded")]
    [InlineData("iso-2719-2016-b", "product=other expected-flash=150", "product=fame expected-flash=150", "fame-needs-procedure-c")]
    [InlineData("iso-13736-2021", "product=other expected-flash=70", "product=fame expected-flash=70", "fame-needs-procedure-c")]

    // A closed cup has no fire point; common practice, no source.
    [InlineData("iso-2719-2016-a", "product=lubricant-new expected-flash=200", "product=lubricant-new expected-flash=200 fire-point=true", "no-fire-point")]

    // UN GHS, chapter 2.6, and ADR, 2.2.3.1: class limits are closed-cup flash points.
    [InlineData("astm-d1310-14", "product=solvent expected-flash=40 purpose=teaching", "product=solvent expected-flash=40 purpose=hazard-class", "class-limits-are-closed-cup")]
    [InlineData("bench-open-cup", "product=lubricant-new expected-flash=200 purpose=in-service-trend", "product=lubricant-new expected-flash=200 purpose=specification", "no-standard-behind-it")]
    public void A_method_serves_on_one_side_of_a_rule_and_is_ruled_out_on_the_other(string method, string inside, string outside, string rule)
    {
        Assert.Equal("", Ask.WhyNot(inside, method));
        Assert.Equal(rule, Ask.WhyNot(outside, method));
    }

    [Theory]
    [InlineData("iso-2592-2017", "product=lubricant-new expected-flash=230 fire-point=true")]
    [InlineData("iso-13736-2021", "product=solvent expected-flash=40 purpose=hazard-class")]
    [InlineData("iso-2719-2016-a", "product=lubricant-new expected-flash=230 purpose=specification")]
    public void What_a_rule_asks_for_is_not_ruled_out_by_it(string method, string words) => Assert.Equal("", Ask.WhyNot(words, method));

    [Fact]
    public void An_equilibrium_procedure_that_fits_is_advised()
    {
        var advice = Ask.Advice("product=solvent expected-flash=23 purpose=hazard-class");

        Assert.Contains(advice.Suitable, method => method.MethodId == "iso-3679-2022-b");
        Assert.Contains(advice.Suitable.Single(method => method.MethodId == "iso-3679-2022-a").Conditions, note => note.Code == "answers-one-temperature");
        Assert.Equal("no-fire-point", Ask.WhyNot("product=solvent expected-flash=23 fire-point=true", "iso-3679-2022-a"));
    }

    // The limits are those of ASTM D56, 1.1. A liquid gets thinner as it warms; nothing is converted.
    [Theory]
    [InlineData(5.4, 40, nameof(ViscosityStanding.ThinEnough))]
    [InlineData(5.5, 40, nameof(ViscosityStanding.Open))]
    [InlineData(9.5, 40, nameof(ViscosityStanding.TooThick))]
    [InlineData(9.4, 25, nameof(ViscosityStanding.ThinEnough))]
    [InlineData(9.5, 25, nameof(ViscosityStanding.Open))]
    [InlineData(95, 25, nameof(ViscosityStanding.Open))]
    [InlineData(9.4, 20, nameof(ViscosityStanding.ThinEnough))]
    [InlineData(5.4, 100, nameof(ViscosityStanding.Open))]
    [InlineData(9.6, 100, nameof(ViscosityStanding.TooThick))]
    public void A_viscosity_at_another_temperature_decides_only_where_warming_cannot_change_it(double viscosity, double celsius, string standing)
    {
        IReadOnlyList<ViscosityLimit> limits = [new(5.5, 40), new(9.5, 25)];

        Assert.Equal(standing, ViscosityLimits.Stand(limits, new(viscosity, celsius)).ToString());
    }

    [Fact]
    public void Without_a_limit_or_a_viscosity_none_is_too_thick()
    {
        Assert.Equal(ViscosityStanding.NoLimit, ViscosityLimits.Stand(null, new(1000, 40)));
        Assert.Equal(ViscosityStanding.Open, ViscosityLimits.Stand([new(5.5, 40)], null));
    }

    [Fact]
    public void Every_rule_names_its_source()
    {
        var rules = Enum.GetValues<ProductKind>().SelectMany(product => MethodAdvisor.Advise(MethodCatalog.All, new() { Product = product, ExpectedFlashCelsius = 20, Solids = true, FilmForming = true, FirePoint = true, Purpose = TestPurpose.HazardClass, Viscosity = new(95, 40) }).RuledOut).SelectMany(method => method.Rules).ToArray();

        Assert.Equal(
            ["class-limits-are-closed-cup", "fame-needs-procedure-c", "film-not-allowed", "flash-outside-scope", "no-fire-point", "no-standard-behind-it", "other-products-only", "product-excluded", "solids-not-allowed", "viscosity-above-limit"],
            rules.Select(rule => rule.Code).Distinct().Order(StringComparer.Ordinal));
        Assert.All(rules, rule => Assert.False(string.IsNullOrWhiteSpace(rule.Source) || string.IsNullOrWhiteSpace(rule.Text)));
    }
}
