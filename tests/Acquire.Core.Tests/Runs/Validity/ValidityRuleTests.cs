using System.Reflection;
using Acquire.Core.Results;
using Xunit;

namespace Acquire.Core.Tests.Runs.Validity;

/// <summary>Every rule that is judged from readings: a trace that breaks it and a twin that just does not.</summary>
public sealed class ValidityRuleTests
{
    private static readonly ValidityRule[] Rules =
        [.. RampValidity.Rules, .. ApplicationValidity.Rules, .. IgnitionValidity.Rules, .. RecordValidity.Rules, .. ThermometerValidity.Rules, .. BenchValidity.Rules];

    // Rules that need more than a trace of readings (a person's entries, a scouting plan, the heater's facts); the pair stands in this class.
    private static readonly Dictionary<string, Type> Elsewhere = new()
    {
        [FindingCodes.StartTooCold] = typeof(ScoutingRunTests),
        [FindingCodes.ScoutingRun] = typeof(ScoutingRunTests),
        [FindingCodes.FlashBeforeHeating] = typeof(ScoutingRunTests),
        [FindingCodes.FirstApplicationEarly] = typeof(ScoutingRunTests),
        [FindingCodes.BlockNotSteady] = typeof(PortionRunTests),
        [FindingCodes.BlockOffSet] = typeof(PortionRunTests),
        [FindingCodes.ChargedTooHot] = typeof(PortionRunTests),
        [FindingCodes.WaitTooShort] = typeof(PortionRunTests),
        [FindingCodes.WaitTooLong] = typeof(PortionRunTests),
        [FindingCodes.PortionVolume] = typeof(PortionRunTests),
        [FindingCodes.PortionAppliedTwice] = typeof(PortionRunTests),
        [FindingCodes.PortionGivenUp] = typeof(PortionRunTests),
        [FindingCodes.ApplicationWithoutPortion] = typeof(PortionRunTests),
        [FindingCodes.FlashBelowSeries] = typeof(EarlyFlashTests),
        [FindingCodes.FlashNotTellable] = typeof(Simulator.SimulatedPortionTests),
        [FindingCodes.NoAnswer] = typeof(PortionRunTests),
        [FindingCodes.HeaterCut] = typeof(HeaterRunTests),
    };

    public static TheoryData<string> Names => new(Rules.Select(rule => rule.ToString()));

    [Theory]
    [MemberData(nameof(Names))]
    public void A_run_that_breaks_the_rule_is_told_and_its_twin_is_not(string name)
    {
        var rule = Rules.Single(rule => rule.ToString() == name);

        var broken = rule.Broken();
        var found = broken.Result.Findings.Where(finding => finding.Code == rule.Code).ToArray();
        Assert.True(found.Length > 0 && found.Max(finding => finding.Weight) == rule.Weight, $"{rule.Code} as {rule.Weight} wanted in: {broken.Story}");
        Assert.True(broken.Result.Verdict == rule.BrokenVerdict, $"{rule.BrokenVerdict} wanted: {broken.Story}");
        Assert.All(found, finding => Assert.InRange(finding.TimeSeconds, 0, broken.Outputs[^1].AtSeconds));

        // A sentence that ends, says what happened and has no hole where a figure was meant to be.
        Assert.All(found, finding => Assert.Matches("^[A-Z0-9-][^{}]{30,}[.]$", finding.Text));

        var kept = rule.Kept();
        kept.Lacks(rule.Code);
        Assert.True(kept.Result.Verdict == rule.KeptVerdict, $"{rule.KeptVerdict} wanted of the twin: {kept.Story}");
    }

    [Fact]
    public void Every_finding_has_a_pair_or_a_reason_why_not()
    {
        var codes = typeof(FindingCodes).GetFields(BindingFlags.Public | BindingFlags.Static).Select(field => (string)field.GetRawConstantValue()!).ToHashSet();
        var paired = Rules.Select(rule => rule.Code).ToHashSet();

        Assert.Empty(codes.Except(paired).Except(Elsewhere.Keys));
        Assert.Empty(paired.Union(Elsewhere.Keys).Except(codes));
        Assert.Empty(paired.Intersect(Elsewhere.Keys));
        Assert.All(Rules, rule => Assert.True(rule.Source.Length > 5, rule.ToString()));
    }
}
