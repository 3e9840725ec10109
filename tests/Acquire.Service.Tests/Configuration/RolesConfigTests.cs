using Acquire.Service.Configuration;
using Xunit;

namespace Acquire.Service.Tests.Configuration;

public sealed class RolesConfigTests
{
    [Fact]
    public void Names_are_read_and_without_any_nobody_may()
    {
        Assert.True(ConfigFile.TryParse("""{ "testers": [], "roles": { "mayCorrect": ["Ada Berg", "R. Halden"], "mayApprove": ["R. Halden"] } }""", out var config, out _));
        Assert.Equal(["Ada Berg", "R. Halden"], config.Roles.MayCorrect);
        Assert.Equal(["R. Halden"], config.Roles.MayApprove);
        Assert.True(ConfigFile.TryParse("""{ "testers": [], "roles": {} }""", out var empty, out _));
        Assert.Empty(empty.Roles.MayCorrect);
        Assert.True(ConfigFile.TryParse("""{ "testers": [] }""", out var none, out _));
        Assert.Empty(none.Roles.MayApprove);
    }

    [Theory]
    [InlineData(""" "mayCorrect": "Ada" """, "roles.mayCorrect", "a list of up to 200 names")]
    [InlineData(""" "mayCorrect": [1] """, "roles.mayCorrect", "a list of up to 200 names")]
    [InlineData(""" "mayCorrect": ["Ada", "Ada"] """, "roles.mayCorrect", "each once")]
    [InlineData(""" "mayApprove": ["=1"] """, "roles.mayApprove", "1 to 80 printable characters")]
    [InlineData(""" "mayDelete": ["Ada"] """, "roles.mayDelete", "Allowed here: mayCorrect, mayApprove")]
    public void Mistakes_are_named_with_what_is_allowed(string section, string path, string words)
    {
        Assert.False(ConfigFile.TryParse($$"""{ "testers": [], "roles": { {{section}} } }""", out _, out var errors));
        var error = Assert.Single(errors);
        Assert.Equal(path, error.Path);
        Assert.Contains(words, error.Message, StringComparison.Ordinal);
    }
}
