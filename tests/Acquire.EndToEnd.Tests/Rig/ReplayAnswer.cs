using System.Text.Json;
using System.Text.Json.Serialization;
using Acquire.Core.Results;
using Xunit;

namespace Acquire.EndToEnd.Tests.Rig;

/// <summary>What `acquire replay --json` prints for one trace.</summary>
internal sealed record ReplayAnswer(
    string Trace,
    Verdict Verdict,
    double? ObservedFlashC,
    double? CorrectedFlashC,
    double? ReportedFlashC,
    double? ObservedFireC,
    double? CorrectedFireC,
    double? ReportedFireC,
    double? FlashTimeS,
    double? FireTimeS,
    IReadOnlyList<ReplayAnswer.Pass> Applications,
    IReadOnlyList<ReplayAnswer.Found> Findings)
{
    private static readonly JsonSerializerOptions Options = new()
    {
        PropertyNamingPolicy = JsonNamingPolicy.SnakeCaseLower,
        Converters = { new JsonStringEnumConverter(JsonNamingPolicy.KebabCaseLower) },
    };

    /// <summary>Reads one line.</summary>
    public static ReplayAnswer Read(string line) => JsonSerializer.Deserialize<ReplayAnswer>(line, Options)!;

    /// <summary>It says, figure by figure, what the run said live. The program prints to a millionth.</summary>
    public void AssertSays(RunResult live)
    {
        Assert.Equal(live.Verdict, Verdict);
        Assert.Equal(Millionths(live.Flash?.ObservedCelsius), ObservedFlashC);
        Assert.Equal(Millionths(live.Flash?.CorrectedCelsius), CorrectedFlashC);
        Assert.Equal(live.Flash?.ReportedCelsius, ReportedFlashC);
        Assert.Equal(Millionths(live.Flash?.TimeSeconds), FlashTimeS);
        Assert.Equal(Millionths(live.Fire?.ObservedCelsius), ObservedFireC);
        Assert.Equal(Millionths(live.Fire?.CorrectedCelsius), CorrectedFireC);
        Assert.Equal(live.Fire?.ReportedCelsius, ReportedFireC);
        Assert.Equal(Millionths(live.Fire?.TimeSeconds), FireTimeS);
        Assert.Equal(live.Applications.Select(pass => new Pass(Millionths(pass.TimeSeconds)!.Value, Millionths(pass.TemperatureCelsius)!.Value, pass.Flash)), Applications);
        Assert.Equal(
            live.Findings.Select(found => new Found(found.Code, Millionths(found.TimeSeconds)!.Value, Millionths(found.TemperatureCelsius), Millionths(found.Value), Millionths(found.Limit))),
            Findings);
    }

    private static double? Millionths(double? value) => value is { } number ? Math.Round(number, 6) : null;

    /// <summary>One pass of the test flame.</summary>
    internal sealed record Pass(double TimeS, double TemperatureC, bool Flash);

    /// <summary>One finding.</summary>
    internal sealed record Found(string Code, double TimeS, double? TemperatureC, double? Value, double? Limit);
}
