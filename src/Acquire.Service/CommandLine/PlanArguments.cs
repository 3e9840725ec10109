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

    /// <summary>The aim names its fields; a person gave flags.</summary>
    public static InputError AsOption(InputError error) => error.Path switch
    {
        "methodId" => error with { Path = "--method" },
        "expectedFlashCelsius" => error with { Path = "--expected-flash" },
        "scouting" => error with { Path = "--scouting" },
        "specificationCelsius" => error with { Path = "--specification" },
        "fineStep" => error with { Path = "--fine-step" },
        "material" => error with { Path = "--material" },
        _ => error,
    };

    /// <summary>Adds an error where the value lies outside its range.</summary>
    public static void Within(List<InputError> errors, string name, double value, ValueRange range, string unit)
    {
        if (!range.Contains(value))
        {
            errors.Add(new InputError(name, string.Create(CultureInfo.InvariantCulture, $"{value} is not within {range.From} to {range.To} {unit}")));
        }
    }
}
