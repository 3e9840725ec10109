using System.CommandLine;
using Acquire.Service.CommandLine.Converting;

namespace Acquire.Service.CommandLine;

/// <summary>`acquire convert`: one signal of a thermometer into its temperature, or back.</summary>
internal static class ConvertCommand
{
    public static Command Build()
    {
        var type = new Option<string?>("--type") { Description = "Sensor whose signal is given: " + SensorName.All + "." };
        var to = new Option<string?>("--to") { Description = "Sensor whose signal at --temperature-c is wanted, likewise. K is type K; all answers show °C, K and °F." };
        var numbers = ConvertOptions.All.Select(option => NumberOption.Optional(option.Name, option.Description)).ToArray();
        var json = new Option<bool>("--json") { Description = "Print one JSON object on one line." };
        var command = new Command("convert", "Convert a thermometer's signal into its temperature, or back, by the code that converts live.") { type, to };
        foreach (var number in numbers)
        {
            command.Add(number);
        }

        command.Add(json);
        command.SetAction(parsed =>
        {
            var given = new Dictionary<string, double>();
            foreach (var number in numbers)
            {
                if (parsed.GetValue(number) is { } value)
                {
                    given[number.Name] = value;
                }
            }

            return Run(new(parsed.GetValue(type), parsed.GetValue(to), given), parsed.GetValue(json), parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error);
        });
        return command;
    }

    private static int Run(ConvertRequest request, bool json, TextWriter output, TextWriter error)
    {
        if (!Conversion.TryMake(request, out var report, out var errors))
        {
            foreach (var problem in errors)
            {
                error.WriteLine(problem);
            }

            return ExitCode.BadInput;
        }

        if (json)
        {
            output.WriteLine(report.ToJson());
        }
        else
        {
            ConvertText.Write(report, output);
        }

        return ExitCode.Done;
    }
}
