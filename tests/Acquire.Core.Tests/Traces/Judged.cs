using Acquire.Core.Results;
using Acquire.Core.Runs;
using Xunit;

namespace Acquire.Core.Tests.Traces;

/// <summary>What the core made of a trace.</summary>
internal sealed record Judged(RunResult Result, List<RunOutput> Outputs)
{
    public IEnumerable<string> Codes => Result.Findings.Select(finding => finding.Code);

    /// <summary>The findings in one line, for the message of a failed test.</summary>
    public string Story => $"{Result.Verdict}, flash {Result.Flash?.ObservedCelsius:F2} °C at {Result.Flash?.TimeSeconds:F2} s, fire {Result.Fire?.ObservedCelsius:F2} °C at {Result.Fire?.TimeSeconds:F2} s, "
        + $"{Result.Applications.Count} applications: " + string.Join("; ", Result.Findings.Select(finding => $"{finding.Code} ({finding.Weight}, {finding.Value:F2})"));

    public Finding Only(string code)
    {
        var found = Result.Findings.Where(finding => finding.Code == code).ToArray();
        Assert.True(found.Length == 1, $"{found.Length} findings {code} in: {Story}");
        return found[0];
    }

    public void Lacks(string code) => Assert.False(Codes.Contains(code), $"{code} in: {Story}");

    /// <summary>Valid, with flash and fire where they truly are.</summary>
    public void AssertTrue(BenchRun run)
    {
        Assert.True(Result.Verdict == Verdict.Valid, Story);
        AssertFlash(run);
        if (run.Fire is { } fire)
        {
            Assert.True(Result.Fire is not null, Story);
            Assert.True(Math.Abs(Result.Fire.TimeSeconds - fire.Onset!.Value) < 0.5, $"fire at {fire.Onset:F2} s, {Story}");
            Assert.True(Math.Abs(Result.Fire.ObservedCelsius - fire.Celsius) < 0.5, $"fire at {fire.Celsius:F2} °C, {Story}");
        }
        else
        {
            Assert.True(Result.Fire is null, Story);
        }
    }

    /// <summary>The flash belongs to the right application and began when it truly did, to within two readings or 0.25 s.</summary>
    public void AssertFlash(BenchRun run)
    {
        var flash = run.Flash!;
        Assert.True(Result.Flash is not null, $"flash at {flash.Celsius:F2} °C, {Story}");
        var number = Outputs.OfType<FlashDetected>().Single().ApplicationNumber;
        Assert.True(number == run.Passes.ToList().IndexOf(flash) + 1, $"flash at {flash.Celsius:F2} °C counted to application {number}, {Story}");
        Assert.True(Math.Abs(Result.Flash.TimeSeconds - flash.Onset!.Value) < Math.Max(0.25, 2 / run.Trace.PerSecond), $"flash at {flash.Onset:F2} s, {Story}");
        Assert.True(Math.Abs(Result.Flash.ObservedCelsius - flash.Celsius) < 0.5, $"flash at {flash.Celsius:F2} °C, {Story}");
    }
}
