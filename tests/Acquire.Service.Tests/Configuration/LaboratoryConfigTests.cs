using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Service.Configuration;
using Xunit;

namespace Acquire.Service.Tests.Configuration;

public sealed class LaboratoryConfigTests
{
    [Fact]
    public void Altitude_and_figures_reach_every_tester()
    {
        var config = Read(""" "altitudeMetres": 640, """, """ "uncertainty": { "barometerLimitKilopascals": 0.3, "driftLimitCelsius": 0.3, "resolutionCelsius": 0.1, "repeatability": { "standardDeviationCelsius": 1.5, "results": 10 } }, """, out var errors);

        Assert.Empty(errors);
        var tester = Assert.Single(config!.Testers);
        Assert.Equal(640, tester.AltitudeMetres);
        Assert.Equal(new LaboratoryFigures { BarometerLimitKilopascals = 0.3, DriftLimitCelsius = 0.3, ResolutionCelsius = 0.1, Repeatability = new(1.5, 10) }, tester.Figures);
    }

    [Fact]
    public void Nothing_is_known_where_nothing_is_stated()
    {
        var tester = Assert.Single(Read("", "", out _)!.Testers);

        Assert.Null(tester.AltitudeMetres);
        Assert.Equal(LaboratoryFigures.None, tester.Figures);
    }

    [Fact]
    public void A_guided_tester_needs_a_thermometer_and_nothing_else()
    {
        var guided = Assert.Single(Read("", """ "mode": "guided", "promptLeadSeconds": 8, """, out var errors)!.Testers);

        Assert.Empty(errors);
        Assert.Equal((RunMode.Guided, 8.0), (guided.Mode, guided.PromptLeadSeconds));
        var observed = Assert.Single(Read("", """ "mode": "observed", """, out _)!.Testers);
        Assert.Equal((RunMode.Observed, RunPlan.UsualPromptLeadSeconds), (observed.Mode, observed.PromptLeadSeconds));
    }

    [Theory]
    [InlineData(""" "altitudeMetres": 9000, """, "", "altitudeMetres", "-400 to 5000 m")]
    [InlineData("", """ "uncertainty": { "driftLimitCelsius": 0 }, """, "testers[0].uncertainty.driftLimitCelsius", "leave it out")]
    [InlineData("", """ "uncertainty": { "barometerLimitKilopascals": 50 }, """, "testers[0].uncertainty.barometerLimitKilopascals", "0 to 5 kPa")]
    [InlineData("", """ "uncertainty": { "repeatability": { "standardDeviationCelsius": 1 } }, """, "testers[0].uncertainty.repeatability.results", "is missing")]
    [InlineData("", """ "uncertainty": { "repeatability": { "standardDeviationCelsius": 1, "results": 5 }, "takeMethodRepeatability": true }, """, "testers[0].uncertainty.takeMethodRepeatability", "keep one of the two")]
    [InlineData("", """ "uncertainty": { "resolution": 1 }, """, "testers[0].uncertainty.resolution", "resolutionCelsius")]
    public void A_mistake_names_its_place_and_what_is_allowed(string root, string tester, string path, string words)
    {
        Assert.Null(Read(root, tester, out var errors));

        var error = Assert.Single(errors);
        Assert.Equal(path, error.Path);
        Assert.Contains(words, error.Message, StringComparison.Ordinal);
    }

    private static AcquireConfig? Read(string root, string tester, out IReadOnlyList<Core.InputError> errors) =>
        ConfigFile.TryParse($$"""{ {{root}} "testers": [ { "id": "bench-1", {{tester}} "source": { "kind": "serial", "port": "/dev/ttyUSB0", "columns": [ { "channel": "temperature", "unit": "degC" } ] } } ] }""", out var config, out errors) ? config : null;
}
