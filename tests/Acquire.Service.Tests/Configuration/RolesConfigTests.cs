using Acquire.Service.Configuration;
using Xunit;

namespace Acquire.Service.Tests.Configuration;

public sealed class RolesConfigTests
{
    [Fact]
    public void Names_are_read_and_without_any_nobody_may()
    {
        Assert.True(ConfigFile.TryParse("""{ "testers": [], "roles": { "mayCorrect": ["Ada Berg", "R. Halden"], "mayApprove": ["R. Halden"], "mayHold": ["Ada Berg"], "mayPrune": ["Cy"] } }""", out var config, out _));
        Assert.Equal(["Ada Berg", "R. Halden"], config.Roles.MayCorrect);
        Assert.Equal(["R. Halden"], config.Roles.MayApprove);
        Assert.Equal(["Ada Berg"], config.Roles.MayHold);
        Assert.Equal(["Cy"], config.Roles.MayPrune);
        Assert.True(ConfigFile.TryParse("""{ "testers": [], "roles": {} }""", out var empty, out _));
        Assert.Empty(empty.Roles.MayCorrect);
        Assert.True(ConfigFile.TryParse("""{ "testers": [] }""", out var none, out _));
        Assert.Empty(none.Roles.MayApprove);
    }

    [Fact]
    public void How_long_runs_are_kept_is_read_and_without_it_they_are_kept_for_ever()
    {
        Assert.True(ConfigFile.TryParse("""{ "testers": [], "retention": { "keepDays": 3650 } }""", out var config, out _));
        Assert.Equal(3650, config.KeepDays);
        Assert.True(ConfigFile.TryParse("""{ "testers": [], "retention": null }""", out var none, out _));
        Assert.Null(none.KeepDays);
    }

    [Theory]
    [InlineData("""{ "keepDays": 29 }""", "retention.keepDays", "30")]
    [InlineData("""{ "keepDays": 36501 }""", "retention.keepDays", "36500")]
    [InlineData("""{ "keepDays": "ten years" }""", "retention.keepDays", "whole number")]
    [InlineData("""{ }""", "retention.keepDays", "30")]
    [InlineData("""{ "keepDays": 30, "years": 10 }""", "retention.years", "keepDays")]
    [InlineData("""[]""", "retention", "object")]
    public void A_retention_that_cannot_be_is_refused_at_its_field(string section, string path, string words)
    {
        Assert.False(ConfigFile.TryParse($$"""{ "testers": [], "retention": {{section}} }""", out _, out var errors));
        var error = Assert.Single(errors);
        Assert.Equal(path, error.Path);
        Assert.Contains(words, error.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(""" "mayCorrect": "Ada" """, "roles.mayCorrect", "a list of up to 200 names")]
    [InlineData(""" "mayCorrect": [1] """, "roles.mayCorrect", "a list of up to 200 names")]
    [InlineData(""" "mayCorrect": ["Ada", "Ada"] """, "roles.mayCorrect", "each once")]
    [InlineData(""" "mayApprove": ["=1"] """, "roles.mayApprove", "1 to 80 printable characters")]
    [InlineData(""" "mayDelete": ["Ada"] """, "roles.mayDelete", "Allowed here: mayCorrect, mayApprove, mayHold, mayPrune")]
    public void Mistakes_are_named_with_what_is_allowed(string section, string path, string words)
    {
        Assert.False(ConfigFile.TryParse($$"""{ "testers": [], "roles": { {{section}} } }""", out _, out var errors));
        var error = Assert.Single(errors);
        Assert.Equal(path, error.Path);
        Assert.Contains(words, error.Message, StringComparison.Ordinal);
    }
}
