using System.CommandLine;
using Acquire.Core;
using Acquire.Core.Methods;
using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;

namespace Acquire.Service.CommandLine;

/// <summary>`acquire replay`: judges recorded traces with the supervisor that runs live.</summary>
internal static class ReplayCommand
{
    public static Command Build()
    {
        var trace = new Argument<string>("TRACE") { Description = "A trace (CSV with time_s, temperature_c, detector and optionally flame) or a folder of them." };
        var method = new Option<string>("--method") { Description = "Method id, see `acquire methods list`.", Required = true };
        var expected = NumberOption.Required("--expected-flash", "Expected flash point, °C (-30 to 400).");
        var pressure = NumberOption.Optional("--pressure-kpa", "Absolute pressure at the bench, kPa (45 to 110). Without it the standard pressure is assumed, and the result says so.");
        var json = new Option<bool>("--json") { Description = "Print one JSON object on one line for each trace." };
        var command = new Command("replay", "Judge recorded traces.") { trace, method, expected, pressure, json };
        command.SetAction(parsed => Run(
            parsed.GetValue(trace)!, parsed.GetValue(method)!, parsed.GetValue(expected), parsed.GetValue(pressure), parsed.GetValue(json),
            parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error));
        return command;
    }

    private static int Run(string path, string methodId, double expected, double? pressure, bool json, TextWriter output, TextWriter error)
    {
        var problems = PlanArguments.Check(methodId, expected, pressure, out var method);
        if (problems.Count > 0)
        {
            return Refuse(error, problems);
        }

        var files = Files(path);
        if (files.Count == 0)
        {
            return Refuse(error, [new InputError(path, Directory.Exists(path) ? "holds no .csv file" : "is neither a file nor a folder")]);
        }

        var code = ExitCode.Done;
        foreach (var file in files)
        {
            code = Math.Max(code, One(file, method!, expected, pressure, json, output, error));
        }

        return code;
    }

    private static int One(string file, MethodDefinition method, double expected, double? pressure, bool json, TextWriter output, TextWriter error)
    {
        Trace trace;
        try
        {
            trace = TraceReader.Read(file, File.ReadLines(file));
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            return Refuse(error, [new InputError(file, $"cannot be read: {exception.Message}")]);
        }

        if (trace.Errors.Count > 0)
        {
            return Refuse(error, trace.Errors);
        }

        var plan = new RunPlan { Method = method, ExpectedFlashCelsius = expected, StationPressureKilopascals = pressure, HasFlameSignal = trace.HasFlameSignal };
        var report = ReplayReport.From(file, RunReplay.Run(plan, trace.Rows));
        if (json)
        {
            output.WriteLine(report.ToJson());
        }
        else
        {
            report.WriteText(output);
        }

        return report.Verdict == Verdict.Invalid ? ExitCode.Failed : ExitCode.Done;
    }

    private static List<string> Files(string path) =>
        Directory.Exists(path) ? [.. Directory.EnumerateFiles(path, "*.csv").Order(StringComparer.Ordinal)]
        : File.Exists(path) ? [path]
        : [];

    private static int Refuse(TextWriter error, IReadOnlyList<InputError> problems)
    {
        foreach (var problem in problems)
        {
            error.WriteLine(problem);
        }

        return ExitCode.BadInput;
    }
}
