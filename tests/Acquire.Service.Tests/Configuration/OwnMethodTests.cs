using System.Text.Json.Nodes;
using Acquire.Core.Methods;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes.Starting;
using Xunit;

namespace Acquire.Service.Tests.Configuration;

/// <summary>Methods of the laboratory in a folder that the configuration names.</summary>
public sealed class OwnMethodTests
{
    private readonly string _folder = TestFolders.Make("acquire-methods-");

    [Fact]
    public void A_relative_folder_is_taken_from_the_file_and_its_methods_can_be_run()
    {
        WriteMethod("own.json", "house-oil");
        var path = WriteConfig("\"methodsDirectory\": \"methods\",", "house-oil");

        Assert.True(ConfigFile.TryRead(path, out var config, out var errors), string.Join("; ", errors));

        Assert.Equal(Path.Combine(_folder, "methods"), config.MethodsDirectory);
        Assert.True(RunOrderRules.TryMake(config.Testers[0].AutoStart!, new(true, null), config.Methods, out var order, out _));
        Assert.Equal("house-oil", order.Plan.Method.Id);
        Assert.False(RunOrderRules.TryMake(config.Testers[0].AutoStart!, new(true, null), MethodSet.Embedded, out _, out _));
    }

    [Fact]
    public void A_broken_file_refuses_the_start_with_file_key_reason_and_line()
    {
        var broken = WriteMethod("broken.json", "house-oil", root => root["rounding"]!["stepCelsius"] = 0);
        WriteMethod("sound.json", "house-grease");

        Assert.False(ConfigFile.TryRead(WriteConfig("\"methodsDirectory\": \"methods\",", "house-grease"), out var config, out var errors));

        Assert.Null(config);
        var error = Assert.Single(errors);
        Assert.Equal($"{broken}: rounding.stepCelsius", error.Path);
        Assert.Matches(@"^0 is not within 0\.01 to 10 \(line \d+\)$", error.Message);
    }

    [Fact]
    public void Files_that_cannot_be_read_are_named_one_by_one()
    {
        var folder = Directory.CreateDirectory(Path.Combine(_folder, "methods")).FullName;
        File.WriteAllBytes(Path.Combine(folder, "a.json"), [0x7B, 0xFF, 0x7D]);
        File.WriteAllBytes(Path.Combine(folder, "b.json"), new byte[ConfigFile.LargestBytes + 1]);
        File.WriteAllText(Path.Combine(folder, "notes.txt"), "no method");

        Assert.False(MethodFolder.TryRead(folder, out _, out var errors));

        Assert.Equal([Path.Combine(folder, "a.json"), Path.Combine(folder, "b.json")], errors.Select(error => error.Path));
        Assert.Contains("UTF-8", errors[0].Message, StringComparison.Ordinal);
        Assert.Contains("allowed: up to", errors[1].Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_folder_that_is_not_there_is_a_mistake_at_its_key()
    {
        var path = WriteConfig("\"methodsDirectory\": \"nowhere\",", "astm-d92-18");

        Assert.False(ConfigFile.TryRead(path, out _, out var errors));

        Assert.Equal($"{path}: methodsDirectory", Assert.Single(errors).Path);
    }

    [Fact]
    public void Without_a_folder_a_method_that_does_not_exist_is_refused_as_before()
    {
        var path = WriteConfig("", "house-oil");

        Assert.False(ConfigFile.TryRead(path, out _, out var errors));

        Assert.Equal($"{path}: testers[0].autoStart.methodId", Assert.Single(errors).Path);
    }

    private string WriteConfig(string more, string methodId)
    {
        var path = Path.Combine(_folder, "acquire.json");
        var autoStart = $$"""
            "testers": [ { "autoStart": { "methodId": "{{methodId}}", "expectedFlashCelsius": 100, "specimen": "oil" },
            """;
        File.WriteAllText(path, "{" + more + ConfigSamples.Serial()[1..].Replace("\"testers\": [ {", autoStart, StringComparison.Ordinal));
        return path;
    }

    private string WriteMethod(string name, string id, Action<JsonObject>? change = null)
    {
        Assert.True(MethodCatalog.TryFind("bench-open-cup", out var method));
        var root = JsonNode.Parse(MethodFile.ToJson(method))!.AsObject();
        root["id"] = id;
        change?.Invoke(root);
        var path = Path.Combine(Directory.CreateDirectory(Path.Combine(_folder, "methods")).FullName, name);
        File.WriteAllText(path, root.ToString());
        return path;
    }
}
