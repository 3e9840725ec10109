using System.Globalization;
using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using Acquire.Core.Methods;
using Acquire.Core.Results;

namespace Acquire.Service.CommandLine;

/// <summary>What `acquire replay` prints for one trace.</summary>
internal sealed record ReplayReport
{
    public required string Trace { get; init; }

    public required Verdict Verdict { get; init; }

    public required IReadOnlyList<ReplayReason> Reasons { get; init; }

    // Not required: what is hidden from JSON may not be, or nothing is written at all.
    [JsonIgnore]
    public IReadOnlyList<ReplayReason> Notes { get; private init; } = [];

    public required double? ObservedFlashC { get; init; }

    public required double? CorrectedFlashC { get; init; }

    public required double? ReportedFlashC { get; init; }

    public required double? ObservedFireC { get; init; }

    public required double? CorrectedFireC { get; init; }

    public required double? ReportedFireC { get; init; }

    public required double? FlashTimeS { get; init; }

    public required double? FireTimeS { get; init; }

    public required IReadOnlyList<ReplayApplication> Applications { get; init; }

    public required IReadOnlyList<ReplayFinding> Findings { get; init; }

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public bool? Flashed { get; private init; }

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public IReadOnlyList<ReplayPortion>? Portions { get; private init; }

    [JsonIgnore]
    public string? Answer { get; private init; }

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public ReplayNext? Next { get; private init; }

    private static readonly JsonSerializerOptions Options = new()
    {
        PropertyNamingPolicy = JsonNamingPolicy.SnakeCaseLower,
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
        Converters = { new JsonStringEnumConverter(JsonNamingPolicy.KebabCaseLower) },
    };

    public static ReplayReport From(string trace, RunResult result) => new()
    {
        Trace = trace,
        Verdict = result.Verdict,
        Reasons = [.. result.Reasons.Select(reason => new ReplayReason(reason.Code, reason.Text, Cut(reason.TimeSeconds)))],
        Notes = [.. result.Findings.Where(found => found.Weight == FindingWeight.Note).Select(note => new ReplayReason(note.Code, note.Text, Cut(note.TimeSeconds)))],
        ObservedFlashC = Cut(result.Flash?.ObservedCelsius),
        CorrectedFlashC = Cut(result.Flash?.CorrectedCelsius),
        ReportedFlashC = result.Flash?.ReportedCelsius,
        ObservedFireC = Cut(result.Fire?.ObservedCelsius),
        CorrectedFireC = Cut(result.Fire?.CorrectedCelsius),
        ReportedFireC = result.Fire?.ReportedCelsius,
        FlashTimeS = Cut(result.Flash?.TimeSeconds),
        FireTimeS = Cut(result.Fire?.TimeSeconds),
        Flashed = result.Equilibrium is { Aim: EquilibriumAim.FlashNoFlash } asked ? asked.Flashed : null,
        Answer = result.Equilibrium is { Aim: EquilibriumAim.FlashNoFlash } answered ? answered.Statement ?? "no answer" : null,
        Portions = result.Equilibrium is null ? null : [.. result.Equilibrium.Tests.Select(test => new ReplayPortion(test.SetCelsius, Cut(test.AppliedCelsius), Cut(test.AppliedSeconds), test.Outcome, test.Spoiled))],
        Next = result.Next is { } next ? new(next.ExpectedFlashCelsius, next.StartAtMostCelsius, next.FirstApplicationCelsius) : null,
        Applications = [.. result.Applications.Select(made => new ReplayApplication(Cut(made.TimeSeconds), Cut(made.TemperatureCelsius), made.Flash))],
        Findings = [.. result.Findings.Select(found => new ReplayFinding(found.Code, Cut(found.TimeSeconds), Cut(found.TemperatureCelsius), Cut(found.Value), Cut(found.Limit)))],
    };

    public string ToJson() => JsonSerializer.Serialize(this, Options);

    public void WriteText(TextWriter writer)
    {
        writer.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{Trace}: {Verdict.ToString().ToLowerInvariant()}"));
        writer.WriteLine(Answer is null ? "  flash point  " + Point(ObservedFlashC, CorrectedFlashC, ReportedFlashC) : "  answer       " + Answer);
        if (Portions is null)
        {
            writer.WriteLine("  fire point   " + Point(ObservedFireC, CorrectedFireC, ReportedFireC));
        }

        foreach (var portion in Portions ?? [])
        {
            var counts = portion.Spoiled is null ? "" : $", does not count: {portion.Spoiled}";
            writer.WriteLine(string.Create(CultureInfo.InvariantCulture, $"  portion      set {portion.SetC:0.0} °C, read {portion.ReadC:0.0} °C, {SeenWords(portion.Seen)}{counts}"));
        }

        writer.WriteLine(string.Create(CultureInfo.InvariantCulture, $"  applications {Applications.Count}"));
        foreach (var reason in Reasons.Concat(Notes))
        {
            var note = Notes.Contains(reason) ? "note: " : "";
            writer.WriteLine(string.Create(CultureInfo.InvariantCulture, $"  {note}{reason.Code} at {reason.TimeS:0.0} s: {reason.Text}"));
        }
    }

    private static string SeenWords(Core.Runs.PortionOutcome seen) => seen switch
    {
        Core.Runs.PortionOutcome.Flash => "flash",
        Core.Runs.PortionOutcome.Uncertain => "uncertain",
        Core.Runs.PortionOutcome.Halo => "halo, no flash",
        _ => "no flash",
    };

    private static string Point(double? observed, double? corrected, double? reported) => observed is null
        ? "none"
        : string.Create(CultureInfo.InvariantCulture, $"observed {observed:0.0} °C, corrected {corrected:0.0} °C, ") + (reported is null ? "not to be reported" : string.Create(CultureInfo.InvariantCulture, $"reported {reported:0.##} °C"));

    // Millionths are far below any reading; more digits would be noise in a diff.
    private static double Cut(double value) => Math.Round(value, 6);

    private static double? Cut(double? value) => value is { } number ? Cut(number) : null;
}

internal sealed record ReplayReason(string Code, string Text, double TimeS);

internal sealed record ReplayNext(double ExpectedFlashC, double StartAtMostC, double FirstApplicationC);

internal sealed record ReplayPortion(double SetC, double? ReadC, double AppliedS, Core.Runs.PortionOutcome Seen, string? Spoiled);

internal sealed record ReplayApplication(double TimeS, double TemperatureC, bool Flash);

internal sealed record ReplayFinding(string Code, double TimeS, double? TemperatureC, double? Value, double? Limit);
