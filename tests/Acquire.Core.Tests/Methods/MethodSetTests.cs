using System.Text.Json.Nodes;
using Acquire.Core.Methods;
using Xunit;

namespace Acquire.Core.Tests.Methods;

public sealed class MethodSetTests
{
    private static string File(string id, Action<JsonObject>? change = null)
    {
        var root = JsonNode.Parse(MethodFile.ToJson(MethodCatalog.All[0]))!.AsObject();
        root["id"] = id;
        change?.Invoke(root);
        return root.ToJsonString();
    }

    [Fact]
    public void Own_methods_stand_after_those_that_come_with_the_program()
    {
        Assert.True(MethodSet.TryMake([("b.json", File("own-b")), ("a.json", File("own-a"))], out var methods, out var errors));

        Assert.Empty(errors);
        Assert.Equal(MethodCatalog.All.Select(method => method.Id).Concat(["own-b", "own-a"]), methods.All.Select(method => method.Id));
        Assert.True(methods.TryFind("own-a", out var own));
        Assert.Equal("own-a", own.Id);
        Assert.False(MethodSet.Embedded.TryFind("own-a", out _));
        Assert.Contains("own-b", methods.Unknown("methodId", "none").Message, StringComparison.Ordinal);
    }

    [Fact]
    public void An_id_that_is_taken_is_refused_and_the_owner_is_named()
    {
        Assert.False(MethodSet.TryMake([("mine.json", File("own")), ("yours.json", File("own")), ("iso.json", File("iso-2592-2017"))], out var methods, out var errors));

        Assert.Null(methods);
        Assert.Equal(["yours.json: id", "iso.json: id"], errors.Select(error => error.Path));
        Assert.Contains("mine.json", errors[0].Message, StringComparison.Ordinal);
        Assert.Contains("comes with the program", errors[1].Message, StringComparison.Ordinal);
    }

    [Fact]
    public void One_broken_file_refuses_them_all_and_every_mistake_names_its_file()
    {
        var broken = File("own-b", root => root["rounding"]!["stepCelsius"] = 0);

        Assert.False(MethodSet.TryMake([("a.json", File("own-a")), ("b.json", broken), ("c.json", "{")], out _, out var errors));

        Assert.Equal(["b.json: rounding.stepCelsius", "c.json: $"], errors.Select(error => error.Path));
    }
}
