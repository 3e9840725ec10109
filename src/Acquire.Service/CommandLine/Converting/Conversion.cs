using System.Diagnostics.CodeAnalysis;
using Acquire.Core;

namespace Acquire.Service.CommandLine.Converting;

/// <summary>Checks what a person gave, and converts it one way or the other.</summary>
internal static class Conversion
{
    /// <summary>Converts; the errors name the option and what is allowed.</summary>
    public static bool TryMake(ConvertRequest request, [NotNullWhen(true)] out ConvertReport? report, out IReadOnlyList<InputError> errors)
    {
        var found = new List<InputError>();
        errors = found;
        report = null;
        if (Direction(request) is { } wrong)
        {
            found.Add(wrong);
            return false;
        }

        var (option, name) = request.Type is { } type ? ("--type", type) : ("--to", request.To!);
        if (!SensorName.TryParse(option, name, out var sensor, out var unknown))
        {
            found.Add(unknown);
            return false;
        }

        var signals = request.Type is null ? [ConvertOptions.Celsius] : sensor.Signals;
        CheckOptions(sensor, signals, request.Given, found);
        if (found.Count == 0)
        {
            report = request.Type is null
                ? sensor.ToSignal(request.Given[ConvertOptions.Celsius], request.Given, found)
                : sensor.FromSignal(sensor.Signals.First(request.Given.ContainsKey), request.Given, found);
        }

        return report is not null;
    }

    private static InputError? Direction(ConvertRequest request) => (request.Type, request.To) switch
    {
        (null, null) => new("--type", "is missing; give --type with a signal, or --to with --temperature-c"),
        (not null, not null) => new("--to", "does not go with --type; give --type with a signal, or --to with --temperature-c"),
        (not null, null) when request.Given.ContainsKey(ConvertOptions.Celsius) => new(ConvertOptions.Celsius, "does not go with --type; for the signal at a temperature give --to"),
        (null, not null) when ConvertOptions.Signals.FirstOrDefault(request.Given.ContainsKey) is { } signal => new(signal, "does not go with --to; for the temperature of a signal give --type"),
        _ => null,
    };

    private static void CheckOptions(ConvertSensor sensor, IReadOnlyList<string> signals, IReadOnlyDictionary<string, double> given, List<InputError> errors)
    {
        string[] known = [.. signals, .. sensor.Needed, .. sensor.Allowed];
        foreach (var foreign in ConvertOptions.All.Select(option => option.Name).Where(name => given.ContainsKey(name) && !known.Contains(name)))
        {
            errors.Add(new(foreign, $"does not go with {sensor.Name}; allowed: {Allowed(sensor, signals)}"));
        }

        var present = signals.Where(given.ContainsKey).ToArray();
        if (present.Length == 0)
        {
            errors.Add(new(signals[0], $"is missing; {sensor.Name} needs {Allowed(sensor, signals)}"));
        }
        else if (present.Length > 1)
        {
            errors.Add(new(present[1], $"does not go with {present[0]}; give one of them"));
        }

        foreach (var missing in sensor.Needed.Where(name => !given.ContainsKey(name)))
        {
            errors.Add(new(missing, $"is missing; {sensor.Name} needs {Allowed(sensor, signals)}"));
        }
    }

    private static string Allowed(ConvertSensor sensor, IReadOnlyList<string> signals) =>
        string.Join(", ", [string.Join(" or ", signals), .. sensor.Needed, .. sensor.Allowed.Select(name => $"optionally {name}")]);
}
