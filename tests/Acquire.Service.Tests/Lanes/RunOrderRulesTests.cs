using Acquire.Core.Control;
using Acquire.Core.Methods;
using Acquire.Core.Runs;
using Acquire.Service.Lanes.Starting;
using Acquire.Service.Live;
using Xunit;

namespace Acquire.Service.Tests.Lanes;

public sealed class RunOrderRulesTests
{
    private static readonly StartRunRequest Good = TestTester.Request;

    public static TheoryData<string, StartRunRequest> Refused => new()
    {
        { "methodId", Good with { MethodId = "unknown" } },
        { "expectedFlashCelsius", Good with { ExpectedFlashCelsius = double.NaN } },
        { "expectedFlashCelsius", Good with { ExpectedFlashCelsius = double.PositiveInfinity } },
        { "expectedFlashCelsius", Good with { ExpectedFlashCelsius = 401 } },
        { "expectedFlashCelsius", Good with { ExpectedFlashCelsius = 78 } },
        { "expectedFlashCelsius", Good with { ExpectedFlashCelsius = null } },
        { "scouting", Good with { Scouting = true } },
        { "scouting", Good with { MethodId = "astm-d56-22", ExpectedFlashCelsius = null, Scouting = true } },
        { "stationPressureKilopascals", Good with { StationPressureKilopascals = 44.9 } },
        { "stationPressureKilopascals", Good with { StationPressureKilopascals = 1013 } },
        { "specimen", Good with { Specimen = "" } },
        { "specimen", Good with { Specimen = "   " } },
        { "specimen", Good with { Specimen = new string('x', 81) } },
        { "specimen", Good with { Specimen = "two\nlines" } },
        { "specimen", Good with { Specimen = "turned \u202E around" } },
        { "specimen", Good with { Specimen = "half a pair \uD83D" } },
    };

    [Theory]
    [InlineData("iso-2592-2017", 320.0, "expectedFlashCelsius")]
    [InlineData("iso-2592-2017", 319.9, null)]
    [InlineData("iso-3679-2022-b", 100.0, null)]
    [InlineData("iso-3679-2022-b", 299.0, null)]
    public void A_driven_tester_takes_no_run_that_it_cannot_heat(string method, double expectedCelsius, string? refusedAt)
    {
        RunOrderRules.TryMake(Good with { MethodId = method, ExpectedFlashCelsius = expectedCelsius }, new(true, null, new() { HighestCelsius = 320 }), MethodSet.Embedded, out _, out var errors);

        Assert.Equal(refusedAt, errors.SingleOrDefault()?.Path);
    }

    [Theory]
    [InlineData("iso-3679-2022-b", false, "expectedFlashCelsius")]
    [InlineData("iso-3679-2022-a", true, "specificationCelsius")]
    public void A_block_is_not_asked_for_a_temperature_that_its_tester_may_not_reach(string method, bool specification, string refusedAt)
    {
        // The guard needs 6 °C of room, docs/heating-control.md.
        var settings = new DriveSettings { HighestCelsius = 200 };
        StartRunRequest At(double celsius) => Good with { MethodId = method, ExpectedFlashCelsius = specification ? null : celsius, SpecificationCelsius = specification ? celsius : null };

        Assert.True(RunOrderRules.TryMake(At(193.9), new(true, null, settings), MethodSet.Embedded, out _, out _));
        Assert.False(RunOrderRules.TryMake(At(194), new(true, null, settings), MethodSet.Embedded, out _, out var errors));
        Assert.Equal(refusedAt, Assert.Single(errors).Path);
    }

    [Fact]
    public void A_driven_tester_takes_a_scouting_run()
    {
        Assert.True(RunOrderRules.TryMake(Good with { ExpectedFlashCelsius = null, Scouting = true }, new(true, null, new() { HighestCelsius = 320 }), MethodSet.Embedded, out var order, out _));

        Assert.True(order.Plan.Scouting);
    }

    [Theory]
    [MemberData(nameof(Refused))]
    public void A_request_outside_the_rules_is_refused_at_the_field_that_breaks_them(string path, StartRunRequest request)
    {
        Assert.False(RunOrderRules.TryMake(request, new(false, null), MethodSet.Embedded, out _, out var errors));

        Assert.Equal(path, Assert.Single(errors).Path);
    }

    [Theory]
    [InlineData("973 hPa", null, 97.3, null)]
    [InlineData("730 mmHg", null, 97.325342876, null)] // 1 mmHg = 133.322387415 Pa (conventional millimetre of mercury).
    [InlineData("97,3 kPa", null, null, "stationPressure")]
    [InlineData("29.9 inHg", null, null, "stationPressure")]
    [InlineData("1013 hPa", 1600.0, null, "stationPressure")] // Denver-like altitude: 83.5 kPa by ISO 2533; 101.3 can only be reduced.
    [InlineData("835 hPa", 1600.0, 83.5, null)]
    public void A_pressure_is_taken_with_its_unit_and_checked_by_the_altitude(string text, double? altitudeMetres, double? kilopascals, string? refusedAt)
    {
        var made = RunOrderRules.TryMake(Good with { StationPressureKilopascals = null, StationPressure = text }, new(false, altitudeMetres), MethodSet.Embedded, out var order, out var errors);

        Assert.Equal(refusedAt is null, made);
        Assert.Equal(refusedAt, errors.SingleOrDefault()?.Path);
        Assert.Equal(kilopascals ?? 0, order?.Plan.StationPressureKilopascals ?? 0, tolerance: 1e-6);
    }

    [Fact]
    public void A_pressure_is_given_once()
    {
        Assert.False(RunOrderRules.TryMake(Good with { StationPressureKilopascals = 97.3, StationPressure = "973 hPa" }, new(false, null), MethodSet.Embedded, out _, out var errors));

        Assert.Contains("once", Assert.Single(errors).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Everything_that_is_wrong_is_said_at_once()
    {
        var request = new StartRunRequest("none", 1000, 5, "");

        Assert.False(RunOrderRules.TryMake(request, new(false, null), MethodSet.Embedded, out _, out var errors));

        Assert.Equal(["methodId", "stationPressureKilopascals", "specimen"], errors.Select(error => error.Path));
    }

    [Theory]
    [InlineData("Öl 1 \U0001F6E2 №7")]
    [InlineData("x")]
    public void A_good_request_becomes_the_plan_it_asks_for(string specimen)
    {
        Assert.True(RunOrderRules.TryMake(Good with { Specimen = specimen, StationPressureKilopascals = null }, new(true, null), MethodSet.Embedded, out var order, out _));

        Assert.Equal((specimen, "iso-2592-2017", 220.0, null, true), (order.Specimen, order.Plan.Method.Id, order.Plan.ExpectedFlashCelsius, order.Plan.StationPressureKilopascals, order.Plan.HasFlameSignal));
    }

    [Fact]
    public void A_request_for_a_scouting_run_becomes_a_plan_that_expects_nothing()
    {
        Assert.True(RunOrderRules.TryMake(Good with { ExpectedFlashCelsius = null, Scouting = true }, new(true, null), MethodSet.Embedded, out var order, out _));

        Assert.True(order.Plan.Scouting);
        Assert.Null(order.Plan.ExpectedFlashCelsius);
        Assert.Null(order.Plan.FirstApplicationCelsius);
    }

    [Theory]
    [InlineData(RunMode.Observed, false, "methodId")]
    [InlineData(RunMode.Observed, true, null)]
    [InlineData(RunMode.Guided, false, null)]
    public void Fresh_portions_need_a_tester_that_reports_its_flame_or_a_person(RunMode mode, bool flame, string? refusedAt)
    {
        RunOrderRules.TryMake(Good with { MethodId = "iso-3679-2022-b", ExpectedFlashCelsius = 60 }, new(flame, null) { Mode = mode }, MethodSet.Embedded, out _, out var errors);

        Assert.Equal(refusedAt, errors.SingleOrDefault()?.Path);
    }

    [Fact]
    public void A_run_by_fresh_portions_does_not_start_by_itself()
    {
        Assert.False(AutoStart.TryMake(Good with { MethodId = "iso-3679-2022-b", ExpectedFlashCelsius = 60 }, new(true, null), MethodSet.Embedded, out _, out var errors));

        Assert.Equal("methodId", Assert.Single(errors).Path);
    }

    [Fact]
    public void Run_ids_sort_by_start_and_name_the_tester()
    {
        var start = new DateTimeOffset(2026, 11, 25, 21, 15, 3, TimeSpan.FromHours(1));

        Assert.Matches("^20261125T201503Z-bench-1-[0-9a-f]{4}$", RunIds.Make(start, "bench-1"));
        Assert.True(string.CompareOrdinal(RunIds.Make(start, "b"), RunIds.Make(start.AddSeconds(1), "a")) < 0);
    }

    [Theory]
    [InlineData("iso-2719-2016-b", "residual fuel", null)]
    [InlineData("iso-2719-2016-b", null, null)]
    [InlineData("iso-2719-2016-b", "Residual fuel", "\"residual fuel\" only")]
    [InlineData("iso-2719-2016-b", "", "\"residual fuel\" only")]
    [InlineData("iso-2592-2017", "residual fuel", "makes no difference between materials")]
    public void A_material_is_one_that_the_method_names(string methodId, string? material, string? refusal)
    {
        var made = RunOrderRules.TryMake(Good with { MethodId = methodId, ExpectedFlashCelsius = 100, Material = material }, new(false, null), MethodSet.Embedded, out var order, out var errors);

        Assert.Equal(refusal is null, made);
        Assert.Equal(refusal is null ? material : null, order?.Plan.Material);
        Assert.True(refusal is null || Assert.Single(errors) is { Path: "material" } error && error.Message.Contains(refusal, StringComparison.Ordinal), string.Join("; ", errors));
    }
}
