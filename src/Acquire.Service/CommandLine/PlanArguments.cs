using System.Globalization;
using Acquire.Core;
using Acquire.Core.Methods;
using Acquire.Core.Runs;

namespace Acquire.Service.CommandLine;

/// <summary>Checks what a person gives to plan a run.</summary>
internal static class PlanArguments
{
    /// <summary>Checks method, aim and pressure; the errors name the option and the range.</summary>
    public static IReadOnlyList<InputError> Check(MethodSet methods, string methodId, RunAim aim, double? pressureKilopascals, out MethodDefinition? method)
    {
        var errors = new List<InputError>();
        if (!methods.TryFind(methodId, out method))
        {
            errors.Add(methods.Unknown("--method", methodId));
        }
        else
        {
            errors.AddRange(aim.Check(method, methods.All).Select(AsOption));
        }

        if (pressureKilopascals is { } pressure)
        {
            Within(errors, "--pressure-kpa", pressure, RunPlan.StationPressureRangeKilopascals, "kPa");
        }

        return errors;
    }

    // The aim names the fields of a request; a person at the command line gives options.
    private static readonly (string Field, string Option)[] Options =
    [
        ("methodId", "--method"),
        ("expectedFlashCelsius", "--expected-flash"),
        ("specificationCelsius", "--specification"),
        ("`scouting`", "--scouting"),
        ("scouting", "--scouting"),
        ("fineStep", "--fine-step"),
        ("material", "--material"),
    ];

    /// <summary>The same error in the words of the command line.</summary>
    public static InputError AsOption(InputError error)
    {
        var path = Array.Find(Options, pair => pair.Field == error.Path).Option ?? error.Path;
        var message = Options.Where(pair => pair.Field is "expectedFlashCelsius" or "specificationCelsius" or "`scouting`")
            .Aggregate(error.Message, (text, pair) => text.Replace(pair.Field, pair.Option, StringComparison.Ordinal));
        return new(path, message);
    }

    /// <summary>Adds an error where the value lies outside its range.</summary>
    public static void Within(List<InputError> errors, string name, double value, ValueRange range, string unit)
    {
        if (!range.Contains(value))
        {
            errors.Add(new InputError(name, string.Create(CultureInfo.InvariantCulture, $"{value} is not within {range.From} to {range.To} {unit}")));
        }
    }
}
