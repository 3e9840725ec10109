using Acquire.Core.Methods;
using Acquire.Core.Methods.Advising;
using Xunit;

namespace Acquire.Core.Tests.Methods.Advising;

/// <summary>Each reason and condition beside its twin.</summary>
public sealed class ConditionsTests
{
    [Theory]
    [InlineData("astm-d56-22", "viscosity-open", "product=solvent expected-flash=50", "product=solvent expected-flash=50 viscosity=1 viscosity-at=25")]
    [InlineData("iso-13736-2021", "solids-or-film-unsaid", "product=other expected-flash=50 solids=true", "product=other expected-flash=50")]
    [InlineData("iso-2719-2016-a", "homogeneous-only", "product=lubricant-in-service expected-flash=200", "product=lubricant-in-service expected-flash=30")]
    [InlineData("iso-2719-2016-b", "for-solids-or-film", "product=lubricant-new expected-flash=200", "product=lubricant-in-service expected-flash=200")]
    [InlineData("iso-2719-2016-b", "for-solids-or-film", "product=lubricant-new expected-flash=200", "product=lubricant-new expected-flash=200 solids=true")]
    [InlineData("iso-2592-2017", "open-cup-for-high-only", "product=lubricant-new expected-flash=79", "product=lubricant-new expected-flash=79.1")]
    [InlineData("iso-2592-2017", "open-cup-loses-vapour", "product=lubricant-new expected-flash=200 volatile-contamination=true", "product=lubricant-new expected-flash=200")]
    [InlineData("iso-2719-2016-c", "electronic-detection", "product=fame expected-flash=150", "product=solvent expected-flash=150")]
    [InlineData("iso-13736-2021", "no-precision-there", "product=solvent expected-flash=-9", "product=solvent expected-flash=-8.5")]
    [InlineData("astm-d1310-14", "no-precision-there", "product=other expected-flash=30", "product=solvent expected-flash=30")]
    [InlineData("iso-13736-2021", "no-scouting-rules", "product=solvent", "product=solvent expected-flash=30")]
    [InlineData("iso-2719-2016-a", "homogeneous-only", "product=solvent", "product=fame")]
    public void A_condition_is_shown_where_it_matters_and_not_beside_it(string method, string code, string with, string without)
    {
        Assert.Contains(code, Codes(with, method, one => one.Conditions));
        Assert.DoesNotContain(code, Codes(without, method, one => one.Conditions));
    }

    [Theory]
    [InlineData("iso-2719-2016-a", "product-named", "product=distillate-fuel expected-flash=65", "product=solvent expected-flash=65")]
    [InlineData("iso-2719-2016-a", "product-covered", "product=solvent expected-flash=65", "product=lubricant-new expected-flash=65")]
    [InlineData("bench-open-cup", "product-unsaid", "product=solvent expected-flash=65", "product=solvent expected-flash=30")]
    [InlineData("iso-2719-2016-a", "flash-in-scope", "product=solvent expected-flash=65", "product=solvent")]
    [InlineData("iso-13736-2021", "bath-suits-low", "product=solvent expected-flash=65", "product=solvent")]
    [InlineData("iso-2719-2016-a", "direct-suits-high", "product=solvent expected-flash=79.1", "product=solvent expected-flash=79")]
    [InlineData("iso-2719-2016-a", "closed-cup-for-class", "product=solvent expected-flash=60 purpose=hazard-class", "product=solvent expected-flash=60")]
    [InlineData("iso-2719-2016-a", "closed-cup-keeps-vapour", "product=lubricant-new expected-flash=200 volatile-contamination=true", "product=lubricant-new expected-flash=200")]
    [InlineData("iso-2592-2017", "open-cup-usual", "product=bitumen expected-flash=200", "product=bitumen expected-flash=200 volatile-contamination=true")]
    [InlineData("iso-2719-2016-b", "solids-or-film-allowed", "product=other expected-flash=200 film-forming=true", "product=other expected-flash=200")]
    [InlineData("astm-d56-22", "viscosity-within-limit", "product=solvent expected-flash=50 viscosity=1 viscosity-at=25", "product=solvent expected-flash=50")]
    [InlineData("iso-2592-2017", "fire-point", "product=bitumen expected-flash=200 fire-point=true", "product=bitumen expected-flash=200")]
    [InlineData("bench-open-cup", "for-teaching", "product=bitumen expected-flash=200 purpose=teaching", "product=bitumen expected-flash=200")]
    public void A_reason_is_given_where_it_holds_and_not_beside_it(string method, string code, string with, string without)
    {
        Assert.Contains(code, Codes(with, method, one => one.Reasons));
        Assert.DoesNotContain(code, Codes(without, method, one => one.Reasons));
    }

    [Fact]
    public void What_a_method_is_not_for_is_a_condition_where_only_the_person_can_tell()
    {
        var paint = Ask.Advice("product=paint expected-flash=30").Suitable.Single(method => method.MethodId == "iso-13736-2021").Conditions.Select(condition => condition.Text);
        var solvent = Ask.Advice("product=solvent expected-flash=30").Suitable.Single(method => method.MethodId == "iso-13736-2021").Conditions.Select(condition => condition.Text);

        Assert.Contains("not for water-borne paints", paint);
        Assert.Equal(["not for liquids with halogenated compounds, whose results can mislead"], solvent);
    }

    [Fact]
    public void The_words_of_the_use_that_speak_of_the_product_are_quoted()
    {
        Assert.True(MethodCatalog.TryFind("iso-2719-2016-a", out var method));

        Assert.Equal("new and used lubricating oils and other homogeneous liquids", ProductNaming.Quote(method, ProductKind.LubricantInService));
        Assert.Equal("Distillate fuels", ProductNaming.Quote(method, ProductKind.DistillateFuel));
    }

    [Fact]
    public void A_method_of_the_laboratory_without_words_about_products_is_advised_by_its_figures()
    {
        var own = MethodCatalog.All.Single(method => method.Id == "iso-13736-2021") with { Id = "house", Use = null, Scope = null, Sources = [] };

        Assert.Equal(["product-unsaid", "flash-in-scope", "bath-suits-low"], Ask.Advice("product=solvent expected-flash=30", [own]).Suitable.Single().Reasons.Select(reason => reason.Code));
        var rule = Ask.Advice("product=solvent expected-flash=90", [own]).RuledOut.Single().Rules.Single();
        Assert.Equal(("flash-outside-scope", "house: flashScopeCelsius"), (rule.Code, rule.Source));
    }

    [Fact]
    public void A_source_from_memory_is_marked()
    {
        var own = MethodCatalog.All.Single(method => method.Id == "iso-13736-2021") with { Sources = [new("flashScopeCelsius", "somewhere", FromMemory: true)] };

        Assert.Equal("somewhere (value from memory)", Ask.Advice("product=solvent expected-flash=90", [own]).RuledOut.Single().Rules.Single().Source);
    }

    private static IEnumerable<string> Codes(string words, string method, Func<SuitableMethod, IReadOnlyList<AdviceNote>> notes) =>
        Ask.Advice(words).Suitable.Where(one => one.MethodId == method).SelectMany(notes).Select(note => note.Code);
}
