using System.Reflection;
using System.Text.Json;
using System.Text.Json.Serialization;
using Acquire.Core.Alarms;
using Acquire.Core.Detection;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Xunit;

namespace Acquire.Core.Tests.Runs;

public sealed class OutputCasesTests
{
    private static IEnumerable<Type> Cases(Type root) => root.Assembly.GetTypes().Where(type => type.IsSubclassOf(root) && !type.IsAbstract);

    private static string[] Codes(Type holder) => [.. holder.GetFields(BindingFlags.Public | BindingFlags.Static).Select(field => (string)field.GetRawConstantValue()!)];

    [Fact]
    public void Every_output_has_a_word_of_its_own_in_json()
    {
        var known = typeof(RunOutput).GetCustomAttributes<JsonDerivedTypeAttribute>().ToArray();

        Assert.Equal(Cases(typeof(RunOutput)).Select(type => type.Name).Order(StringComparer.Ordinal), known.Select(attribute => attribute.DerivedType.Name).Order(StringComparer.Ordinal));
        Assert.Equal(known.Length, known.Select(attribute => attribute.TypeDiscriminator).Distinct().Count());
        Assert.All(known, attribute => Assert.Matches("^[a-z]+(-[a-z]+)*$", (string)attribute.TypeDiscriminator!));
    }

    [Fact]
    public void Every_output_reads_back_to_itself()
    {
        var application = new Application(3, 100, 207, 1, ApplicationEvidence.FlameSignal, false, 2.5);
        var finding = new Finding(FindingCodes.DataGap, FindingWeight.Note, 7, null, 4, 3, "text");
        RunOutput[] outputs =
        [
            new PhaseChanged(1, RunPhase.Ready, RunPhase.FastHeating, null),
            new BandEntered(1, 25, new(5, 17), 170),
            new ApplicationPrompted(2, 3, 207),
            new ObservationMade(2.25, 2, Sighting.WentOut, "Ada"),
            new ObservationWithdrawn(2.5, 2, 2.25, Sighting.WentOut),
            new TemperatureSet(2, 1, 60),
            new PortionCharged(2.1, 2, null, "Ada"),
            new PortionTested(2.2, new(1, 60, 2, 2.1, 2.15, 60.1, PortionOutcome.Flash, null)),
            new HeaterTurnedOn(2, 1.75, "R. Halden"),
            new HeaterCut(2, null, "heater-operator-stop", "text", true),
            new ApplicationStarted(2, 3, 207, ApplicationEvidence.DetectorSignature),
            new ApplicationJudged(3, application),
            new FlashDetected(4, 226, 12),
            new BurnEnded(5, 4, 3.5),
            new FireDetected(6, 5, 250),
            new FindingRaised(7, finding),
            new AlarmRaised(8, AlarmCodes.SpecimenBurning, "text"),
            new AlarmCleared(9, AlarmCodes.SpecimenBurning),
            new RunClosed(10, new RunResult(Verdict.Valid, new(226, 226.5, 226, 4), null, 99.3, [application], [finding])),
            new AxisBegun(0, null, 812.25, true, DateTimeOffset.UnixEpoch.AddSeconds(2)),
            new RunResumed(7.5, 7.5, DateTimeOffset.UnixEpoch.AddMinutes(3), 42.5, 5, "0.1.0", "0.1.1"),
            new RunInterrupted(7.5, "text"),
        ];

        Assert.Equal(Cases(typeof(RunOutput)).Count(), outputs.Select(output => output.GetType()).Distinct().Count());
        foreach (var output in outputs)
        {
            var text = JsonSerializer.Serialize(output);
            var again = JsonSerializer.Deserialize<RunOutput>(text);
            Assert.IsType(output.GetType(), again);
            Assert.Equal(text, JsonSerializer.Serialize(again));
        }
    }

    [Fact]
    public void Every_thing_the_watch_can_see_is_handled()
    {
        // The switch that handles them has no arm for the unknown: a new case must be added there and here.
        Assert.Equal(["Burning", "Judged", "NotBurning", "PassedOverFire", "Stray", "StrayEnded", "StrayLasted", "Sustained", "WentOut"], Cases(typeof(WatchEvent)).Select(type => type.Name).Order(StringComparer.Ordinal));
    }

    [Fact]
    public void Codes_are_lower_case_words_joined_by_hyphens_and_never_shared()
    {
        foreach (var holder in new[] { typeof(FindingCodes), typeof(AlarmCodes) })
        {
            var codes = Codes(holder);
            Assert.Equal(codes.Length, codes.Distinct().Count());
            Assert.All(codes, code => Assert.Matches("^[a-z]+(-[a-z]+)*$", code));
        }
    }

    [Theory]
    [InlineData(Verdict.Valid)]
    [InlineData(Verdict.Valid, FindingWeight.Note)]
    [InlineData(Verdict.Doubtful, FindingWeight.Note, FindingWeight.Doubtful)]
    [InlineData(Verdict.Invalid, FindingWeight.Invalid, FindingWeight.Doubtful, FindingWeight.Note)]
    public void The_heaviest_finding_decides(Verdict verdict, params FindingWeight[] weights)
    {
        var findings = weights.Select(weight => new Finding("code", weight, 0, null, null, null, "text")).ToArray();

        Assert.Equal(verdict, RunClosing.Judge(findings));
        var result = new RunResult(verdict, null, null, 101.3, [], findings);
        Assert.Equal(findings.Where(finding => finding.Weight != FindingWeight.Note), result.Reasons);
    }
}
