using Acquire.Core.Methods;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using Xunit;

namespace Acquire.Core.Tests.Runs;

public sealed class PortionRulesTests
{
    private static readonly RunPlan A = PortionBench.PlanOf("iso-3679-2022-a");
    private static readonly RunPlan B = PortionBench.PlanOf("iso-3679-2022-b");

    [Theory]
    [InlineData(60, 95.0, 58.5)] // ASTM D3828, clause 11: 60 - 0.25 (101.3 - 95.0) = 58.425, to the nearest 0.5 °C.
    [InlineData(60, 101.3, 60)]
    [InlineData(23, 104.7, 24)] // 23.85
    public void A_specification_is_tested_at_the_temperature_that_the_pressure_asks_for(double specification, double kilopascals, double set)
    {
        Assert.Equal(set, (A with { SpecificationCelsius = specification, StationPressureKilopascals = kilopascals }).Portions.FirstSetCelsius);
        Assert.Equal(set, PortionRules.SetPoint(specification, kilopascals, A.Method.Equilibrium!.SetPoint!));
    }

    [Theory]
    [InlineData(100, null, 2, 60)] // ASTM D3828, 4.3.1: up to and including 100 °C 2 mL and 1 min.
    [InlineData(100.5, null, 4, 120)] // 4.3.2: above, 4 mL and 2 min.
    [InlineData(150, "fatty acid methyl esters", 2, 60)] // 4.3.3: biodiesel, always 2 mL and 1 min.
    public void What_is_charged_and_how_long_it_waits_hangs_on_temperature_and_material(double set, string? material, double millilitres, double wait)
    {
        var charge = (B with { ExpectedFlashCelsius = 90, Material = material }).Portions.ChargeAt(set);

        Assert.Equal((millilitres, wait), (charge.Millilitres, charge.WaitSeconds));
    }

    [Fact]
    public void The_search_begins_at_a_whole_step_within_the_scope_as_the_thermometer_reads_it()
    {
        Assert.Equal(61, (B with { ExpectedFlashCelsius = 61.4 }).Portions.FirstSetCelsius);

        // At 81.3 kPa a reading is 5 °C below what it is at standard pressure.
        var high = (B with { ExpectedFlashCelsius = 300, StationPressureKilopascals = 81.3 }).Portions;
        Assert.Equal((new TemperatureRange(-35, 295), 295.0), (high.RangeCelsius, high.FirstSetCelsius));
    }

    [Fact]
    public void The_finer_step_is_made_where_it_is_asked_for()
    {
        Assert.Equal([5, 1], (B with { ExpectedFlashCelsius = 60 }).Portions.Steps);
        Assert.Equal([5, 1, 0.5], (B with { ExpectedFlashCelsius = 60, FineStep = true }).Portions.Steps);
    }

    [Fact]
    public void An_aim_that_an_equilibrium_procedure_cannot_have_is_refused_at_its_field()
    {
        static string Wrong(RunPlan plan, RunAim aim) => string.Join(' ', aim.Check(plan.Method, MethodCatalog.All).Select(error => error.Path));

        Assert.Equal("", Wrong(A, new() { SpecificationCelsius = 60 }));
        Assert.Equal("specificationCelsius", Wrong(A, new()));
        Assert.Equal("expectedFlashCelsius", Wrong(A, new() { SpecificationCelsius = 60, ExpectedFlashCelsius = 60 }));
        Assert.Equal("specificationCelsius", Wrong(A, new() { SpecificationCelsius = 301 }));
        Assert.Equal("fineStep", Wrong(A, new() { SpecificationCelsius = 60, FineStep = true }));
        Assert.Equal("", Wrong(B, new() { ExpectedFlashCelsius = 60, FineStep = true }));
        Assert.Equal("expectedFlashCelsius", Wrong(B, new()));
        Assert.Equal("specificationCelsius", Wrong(B, new() { ExpectedFlashCelsius = 60, SpecificationCelsius = 60 }));
        Assert.Equal("expectedFlashCelsius scouting", Wrong(B, new() { Scouting = true }));
    }
}
