using System.Globalization;

namespace Acquire.Service.CommandLine.Converting;

/// <summary>A conversion in words.</summary>
internal static class ConvertText
{
    /// <summary>Numbers in sentences, the same in every culture.</summary>
    public static string Say(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);

    /// <summary>Why a value is refused.</summary>
    public static string Outside(double value, double least, double most, string unit, string sensor) =>
        Say($"{value} is not within {least} to {most} {unit}, the range of {sensor}");

    /// <summary>The answer on one line, then what is to be said about it, each on its own.</summary>
    public static void Write(ConvertReport report, TextWriter writer)
    {
        // JSON has the bare letter; a sentence that begins with "K" could be read as kelvin.
        var name = report.EmfMv is null ? report.Type : "type " + report.Type;
        var junction = report.ReferenceJunctionC is { } celsius ? Say($", reference junction {celsius} °C") : "";
        var temperature = Say($"{report.TemperatureC:0.000} °C ({report.TemperatureK:0.000} K, {report.TemperatureF:0.000} °F)");
        var (given, answer) = report.FromSignal ? (Signal(report, asGiven: true), temperature) : (temperature, Signal(report, asGiven: false));
        string[] parts = [$"{name}, {given}{junction}: {answer}", Sensitivity(report), .. Tolerances(report)];
        writer.WriteLine(string.Join("; ", parts));
        foreach (var note in report.Notes)
        {
            writer.WriteLine("  " + note);
        }
    }

    private static string Signal(ConvertReport report, bool asGiven) => report switch
    {
        { EmfMv: { } millivolts, EmfUv: { } microvolts } => asGiven ? Say($"{millivolts:0.######} mV") : Say($"{millivolts:0.0000} mV ({microvolts:0.0} µV)"),
        { Ohms: { } ohms } => asGiven ? Say($"{ohms:0.######} Ω") : Say($"{ohms:0.000} Ω"),
        { SignalMa: { } milliamperes } => asGiven ? Say($"{milliamperes:0.######} mA") : Say($"{milliamperes:0.0000} mA"),
        { SignalV: { } volts } => asGiven ? Say($"{volts:0.######} V") : Say($"{volts:0.0000} V"),
        _ => throw new InvalidOperationException("A report without a signal."),
    };

    private static string Sensitivity(ConvertReport report) => report switch
    {
        { SensitivityUvPerC: { } microvolts } => Say($"{microvolts:G3} µV/°C"),
        { SensitivityOhmPerC: { } ohms } => Say($"{ohms:G4} Ω/°C"),
        { SensitivityMaPerC: { } milliamperes } => Say($"{milliamperes:G4} mA/°C"),
        { SensitivityVPerC: { } volts } => Say($"{volts:G4} V/°C"),
        _ => throw new InvalidOperationException("A report without a sensitivity."),
    };

    private static IEnumerable<string> Tolerances(ConvertReport report) =>
        report.Tolerances.GroupBy(tolerance => tolerance.Standard).Select(standard => $"{standard.Key} tolerance " + Classes([.. standard]));

    // A remark stands once, behind the last of the classes that share it.
    private static string Classes(IReadOnlyList<ConvertTolerance> classes) => string.Join(", ", classes.Select((tolerance, i) =>
        Say($"class {tolerance.Class} ±{tolerance.PlusMinusC:0.00} °C") + (i + 1 < classes.Count && classes[i + 1].Remark == tolerance.Remark ? "" : $" ({tolerance.Remark})")));
}
