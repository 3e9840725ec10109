using Acquire.Core.Methods;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Methods;

public sealed class MethodVariantTests
{
    private static readonly MethodDefinition Plain = MethodCatalog.TryFind("astm-d92-18", out var method) ? method : throw new InvalidOperationException();

    private static readonly ApplicationRules Wide = Plain.Applications! with { IntervalCelsius = 5 };

    [Fact]
    public void A_method_without_variants_is_the_same_whatever_is_expected()
    {
        Assert.Same(Plain, Plain.For(100));
        var empty = Plain with { Variants = [] };
        Assert.Same(empty, empty.For(100));
    }

    [Fact]
    public void The_parts_of_the_variant_replace_those_of_the_method_and_the_others_stay()
    {
        var method = Plain with { Variants = [new() { ExpectedAboveCelsius = 110, Applications = Wide, FlashPrecision = new(1, 2) }] };

        Assert.Equal(2, method.For(110).Applications!.IntervalCelsius);
        var above = method.For(110.1);
        Assert.Equal(5, above.Applications!.IntervalCelsius);
        Assert.Equal(new Precision(1, 2), above.FlashPrecision);
        Assert.Same(Plain.Ramp, above.Ramp);
        Assert.Same(Plain.Judgement, above.Judgement);
        Assert.Null(above.Variants);
        Assert.Null(method.For(20).Variants);
    }

    [Theory]
    [InlineData(59.9, "below")]
    [InlineData(60, "from")]
    [InlineData(90, "from")]
    [InlineData(90.1, "none")]
    public void Ends_belong_to_the_range_or_not_as_their_names_say(double expected, string holds)
    {
        var below = new MethodVariant { ExpectedBelowCelsius = 60 };
        var from = new MethodVariant { ExpectedFromCelsius = 60, ExpectedUpToCelsius = 90 };

        Assert.Equal(holds == "below", below.Holds(expected));
        Assert.Equal(holds == "from", from.Holds(expected));
        Assert.False(below.Overlaps(from));
    }

    [Fact]
    public void Two_variants_overlap_exactly_where_some_temperature_belongs_to_both()
    {
        var ends = Pick.From(double.NaN, 1, 2, 3, 4);
        Gen.Select(ends, Gen.Bool, ends, Gen.Bool).Select(Variant).Array[2].Sample(pair =>
        {
            // Ends are whole numbers, so quarters find whatever both hold.
            var both = Enumerable.Range(-8, 64).Any(quarter => pair[0].Holds(quarter / 4.0) && pair[1].Holds(quarter / 4.0));
            return both == pair[0].Overlaps(pair[1]) && pair[0].Overlaps(pair[1]) == pair[1].Overlaps(pair[0]);
        }, iter: 3000);
    }

    [Fact]
    public void A_plan_is_ruled_by_what_holds_for_its_expected_flash_point_and_keeps_the_whole_method()
    {
        var method = Plain with { Variants = [new() { ExpectedAboveCelsius = 110, Applications = Wide }] };
        var plan = new RunPlan { Method = method, ExpectedFlashCelsius = 100, HasFlameSignal = true };

        Assert.Equal(2, plan.Rules.Applications.IntervalCelsius);
        Assert.Same(plan.Rules, plan.Rules);
        var higher = plan with { ExpectedFlashCelsius = 200 };
        Assert.Equal(5, higher.Rules.Applications.IntervalCelsius);
        Assert.Equal(172, higher.FirstApplicationCelsius);
        Assert.Same(method, higher.Method);
        Assert.Equal(plan, higher with { ExpectedFlashCelsius = 100 });
    }

    [Fact]
    public void A_method_without_a_ramp_rules_no_run()
    {
        var method = Plain with { Procedure = ProcedureKind.Equilibrium, Ramp = null, Applications = null };

        var exception = Assert.Throws<ArgumentException>(() => new RunRules(method, 100));
        Assert.Contains(Plain.Id, exception.Message, StringComparison.Ordinal);
    }

    private static MethodVariant Variant((double From, bool Above, double To, bool Below) ends) => new()
    {
        ExpectedFromCelsius = ends.Above || double.IsNaN(ends.From) ? null : ends.From,
        ExpectedAboveCelsius = ends.Above && !double.IsNaN(ends.From) ? ends.From : null,
        ExpectedUpToCelsius = ends.Below || double.IsNaN(ends.To) ? null : ends.To,
        ExpectedBelowCelsius = ends.Below && !double.IsNaN(ends.To) ? ends.To : null,
    };
}
