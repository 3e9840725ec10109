using Acquire.Core.Methods;
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
    [MemberData(nameof(Refused))]
    public void A_request_outside_the_rules_is_refused_at_the_field_that_breaks_them(string path, StartRunRequest request)
    {
        Assert.False(RunOrderRules.TryMake(request, new(false, null), MethodSet.Embedded, out _, out var errors));

        Assert.Equal(path, Assert.Single(errors).Path);
    }

    [Fact]
    public void Everything_that_is_wrong_is_said_at_once()
    {
        var request = new StartRunRequest("none", 1000, 5, "");

        Assert.False(RunOrderRules.TryMake(request, new(false, null), MethodSet.Embedded, out _, out var errors));

        Assert.Equal(["methodId", "expectedFlashCelsius", "stationPressureKilopascals", "specimen"], errors.Select(error => error.Path));
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
    public void Run_ids_sort_by_start_and_name_the_tester()
    {
        var start = new DateTimeOffset(2026, 11, 25, 21, 15, 3, TimeSpan.FromHours(1));

        Assert.Matches("^20261125T201503Z-bench-1-[0-9a-f]{4}$", RunIds.Make(start, "bench-1"));
        Assert.True(string.CompareOrdinal(RunIds.Make(start, "b"), RunIds.Make(start.AddSeconds(1), "a")) < 0);
    }
}
