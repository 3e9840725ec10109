using System.CommandLine;
using Acquire.Core;
using Acquire.Core.Methods;
using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Thermometry;

namespace Acquire.Service.CommandLine;

/// <summary>`acquire replay`: judges recorded traces with the supervisor that runs live.</summary>
internal static class ReplayCommand
{
    public static Command Build()
    {
        var trace = new Argument<string>("TRACE") { Description = "A trace (CSV with time_s, temperature_c, detector and optionally second_detector and flame) or a folder of them." };
        var method = new Option<string>("--method") { Description = "Method id, see `acquire methods list`.", Required = true };
        var expected = NumberOption.Optional("--expected-flash", "Expected flash point, °C (-30 to 400); left out in a scouting run and for flash or no flash.");
        var scouting = new Option<bool>("--scouting") { Description = "Nobody knew what to expect: judge the trace as a scouting run." };
        var specification = NumberOption.Optional("--specification", "Flash or no flash: the specification tested, at standard pressure, °C.");
        var fine = new Option<bool>("--fine-step") { Description = "By steps: the search ended with the method's optional, finer step." };
        var pressure = NumberOption.Optional("--pressure-kpa", "Absolute pressure at the bench, kPa (45 to 110). Without it the standard pressure is assumed, and the result says so.");
        var material = new Option<string?>("--material") { Description = "What the specimen is, in the words of the method, where the method has figures of their own for it." };
        var thermometer = new Option<string?>("--thermometer") { Description = "A chain document (a run's thermometer.json): temperatures are made anew of the trace's signals. Without it they are taken as they stand." };
        var madeOn = new Option<DateOnly?>("--made-on") { Description = "Day of the run, such as 2026-03-02: the calibration in the chain is judged by it.", CustomParser = DayOption.Parse };
        var guided = new GuidedOptions();
        var folder = MethodsOption.Make();
        var json = new Option<bool>("--json") { Description = "Print one JSON object on one line for each trace." };
        var command = new Command("replay", "Judge recorded traces.") { trace, method, expected, scouting, specification, fine, pressure, material, thermometer, madeOn, guided.Guided, guided.Observations, guided.PromptLead, folder, json };
        command.SetAction(parsed =>
        {
            var (output, error) = (parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error);
            if (!MethodsOption.TryRead(parsed.GetValue(folder), out var methods, out var broken))
            {
                return Refuse(error, broken);
            }

            var aim = new RunAim { ExpectedFlashCelsius = parsed.GetValue(expected), Scouting = parsed.GetValue(scouting), SpecificationCelsius = parsed.GetValue(specification), FineStep = parsed.GetValue(fine), Material = parsed.GetValue(material) };
            var problems = Plan(methods, parsed.GetValue(method)!, aim, parsed.GetValue(pressure), parsed.GetValue(madeOn), out var plan);
            ThermometerChain? chain = null;
            if (parsed.GetValue(thermometer) is { } file && !ThermometerArgument.TryRead(file, out chain, out var mistakes))
            {
                problems = [.. problems, .. mistakes];
            }

            problems = [.. problems, .. guided.Check(parsed, parsed.GetValue(trace)!)];
            return problems.Count > 0 ? Refuse(error, problems) : Run(parsed.GetValue(trace)!, guided.Apply(parsed, plan!), chain, parsed.GetValue(guided.Observations), parsed.GetValue(json), output, error);
        });
        return command;
    }

    private static IReadOnlyList<InputError> Plan(MethodSet methods, string methodId, RunAim aim, double? pressure, DateOnly? madeOn, out RunPlan? plan)
    {
        var problems = PlanArguments.Check(methods, methodId, aim, pressure, out var method);
        plan = method is null ? null : aim.Plan(method) with { StationPressureKilopascals = pressure, MadeOn = madeOn };
        return problems;
    }

    private static int Run(string path, RunPlan plan, ThermometerChain? chain, string? observations, bool json, TextWriter output, TextWriter error)
    {
        var files = Files(path);
        if (files.Count == 0)
        {
            return Refuse(error, [new InputError(path, Directory.Exists(path) ? "holds no .csv file" : "is neither a file nor a folder")]);
        }

        var code = ExitCode.Done;
        foreach (var file in files)
        {
            code = Math.Max(code, One(file, plan, chain, observations, json, output, error));
        }

        return code;
    }

    private static int One(string file, RunPlan plan, ThermometerChain? chain, string? observations, bool json, TextWriter output, TextWriter error)
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

        if (TraceThermometer.Check(file, trace, chain) is { } mistake)
        {
            return Refuse(error, [mistake]);
        }

        IReadOnlyList<PersonEntry> entries = [];
        if ((plan.IsGuided || plan.IsEquilibrium) && !GuidedOptions.TryRead(observations ?? GuidedOptions.Beside(file), out entries, out var mistakes))
        {
            return Refuse(error, mistakes);
        }

        var report = ReplayReport.From(file, TraceThermometer.Judge(plan with { HasFlameSignal = trace.HasFlameSignal }, trace, entries, chain));
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
        Directory.Exists(path) ? [.. Directory.EnumerateFiles(path, "*.csv").Where(file => !GuidedOptions.IsObservations(file)).Order(StringComparer.Ordinal)]
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
