using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using Xunit;

namespace Acquire.Service.Tests.Live;

public sealed class AdviceApiTests
{
    [Fact(Timeout = 30000)]
    public async Task The_call_answers_as_the_command_does()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);

        var advice = await bench.GetAsync<JsonElement>("/api/methods/advice?product=lubricant-new&expected-flash=230&viscosity=95&viscosity-at=40&fire-point=true");

        Assert.Equal(["astm-d92-18", "iso-2592-2017", "bench-open-cup"], advice.GetProperty("suitable").EnumerateArray().Select(method => method.GetProperty("methodId").GetString()));
        Assert.Equal(("lubricant-new", 40.0), (advice.GetProperty("question").GetProperty("product").GetString(), advice.GetProperty("question").GetProperty("viscosity").GetProperty("atCelsius").GetDouble()));
        Assert.Equal(4, advice.GetProperty("cautions").GetArrayLength());
    }

    [Theory(Timeout = 30000)]
    [InlineData("", "product")]
    [InlineData("?product=milk", "product")]
    [InlineData("?product=", "product")]
    [InlineData("?product=fame&product=paint", "product")]
    [InlineData("?product=fame&expected-flash=1e999", "expected-flash")]
    [InlineData("?product=fame&solids", "solids")]
    [InlineData("?product=fame&Solids=true", "Solids")]
    [InlineData("?product=fame&viscosity=4", "viscosity-at")]
    public async Task A_call_with_a_mistake_is_refused_at_its_parameter(string query, string path)
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);

        using var answer = await bench.Client.GetAsync("/api/methods/advice" + query, TestContext.Current.CancellationToken);

        Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
        var body = await answer.Content.ReadFromJsonAsync<JsonElement>(TestContext.Current.CancellationToken);
        Assert.Equal(path, Assert.Single(body.GetProperty("errors").EnumerateArray()).GetProperty("path").GetString());
    }
}
