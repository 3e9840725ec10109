using System.Globalization;
using Acquire.Core;
using Acquire.Core.Methods;
using Acquire.Core.Runs;

namespace Acquire.Service.CommandLine;

/// <summary>Checks what a person gives to plan a run.</summary>
internal static class PlanArguments
{
    /// <summary>Checks method, expected flash point, pressure and material; the errors name the option and the range.</summary>
    public static IReadOnlyList<InputError> Check(MethodSet methods, string methodId, double expectedFlashCelsius, double? pressureKilopascals, string? material, out MethodDefinition? method)
    {
        var errors = new List<InputError>();
        if (!methods.TryFind(methodId, out method))
        {
            errors.Add(methods.Unknown("--method", methodId));
        }
        else if (RunRules.WhyNot(method) is { } reason)
        {
            errors.Add(new("--method", reason));
        }

        if (method is not null && MaterialRules.Check("--material", material, method) is { } unnamed)
        {
            errors.Add(unnamed);
        }

        if (method is { FlashScopeCelsius: var scope })
        {
            Within(errors, "--expected-flash", expectedFlashCelsius, new(scope.From, scope.To), $"°C, the scope of {method.Id}; choose a method written for that flash point");
        }
        else
        {
            Within(errors, "--expected-flash", expectedFlashCelsius, RunPlan.ExpectedFlashRangeCelsius, "°C");
        }

        if (pressureKilopascals is { } pressure)
        {
            Within(errors, "--pressure-kpa", pressure, RunPlan.StationPressureRangeKilopascals, "kPa");
        }

        return errors;
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
