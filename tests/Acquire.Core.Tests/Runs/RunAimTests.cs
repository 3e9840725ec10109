using Acquire.Core.Methods;
using Acquire.Core.Runs;
using Xunit;

namespace Acquire.Core.Tests.Runs;

public sealed class RunAimTests
{
    private static MethodDefinition Find(string id) => MethodCatalog.TryFind(id, out var method) ? method : throw new InvalidOperationException(id);

    private static IReadOnlyList<InputError> Check(string id, RunAim aim) => aim.Check(Find(id), MethodCatalog.All);

    [Fact]
    public void An_expected_flash_point_or_a_scouting_run_is_an_aim_and_neither_or_both_is_none()
    {
        Assert.Empty(Check("iso-2592-2017", new() { ExpectedFlashCelsius = 230 }));
        Assert.Empty(Check("iso-2592-2017", new() { Scouting = true }));
        Assert.Equal("expectedFlashCelsius", Assert.Single(Check("iso-2592-2017", new())).Path);
        Assert.Equal("scouting", Assert.Single(Check("iso-2592-2017", new() { ExpectedFlashCelsius = 230, Scouting = true })).Path);
    }

    [Fact]
    public void A_method_that_says_nothing_about_an_unknown_flash_point_makes_no_scouting_run_and_others_are_named()
    {
        var error = Assert.Single(Check("iso-13736-2021", new() { Scouting = true }));

        Assert.Equal("scouting", error.Path);
        Assert.Contains("iso-2719-2016-a", error.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(-31)]
    [InlineData(401)]
    [InlineData(double.NaN)]
    public void An_expected_flash_point_out_of_range_is_refused_with_the_range(double expected)
    {
        Assert.Contains("-30 to 400", Assert.Single(Check("iso-2592-2017", new() { ExpectedFlashCelsius = expected })).Message, StringComparison.Ordinal);
    }
}
