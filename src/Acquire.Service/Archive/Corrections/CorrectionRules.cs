using System.Globalization;
using Acquire.Core;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Service.Lanes.Starting;
using Acquire.Service.Live;

namespace Acquire.Service.Archive.Corrections;

/// <summary>What may be corrected to what.</summary>
internal static class CorrectionRules
{
    /// <summary>What is wrong with a correction; empty where nothing is.</summary>
    /// <param name="run">The run.</param>
    /// <param name="request">What was asked for.</param>
    /// <param name="altitudeMetres">Altitude of the laboratory, m; null where unknown.</param>
    public static IReadOnlyList<InputError> Check(RunDetail run, CorrectionRequest request, double? altitudeMetres)
    {
        var errors = new List<InputError>();
        if (WhyNoText("reason", request.Reason) is { } reason)
        {
            errors.Add(reason);
        }

        switch (request.Field)
        {
            case CorrectedField.Specimen:
                RunOrderRules.CheckSpecimen(errors, "value", request.Text);
                break;
            case CorrectedField.Remark when WhyNoText("value", request.Text) is { } remark:
                errors.Add(remark);
                break;
            case CorrectedField.ExpectedFlash:
                errors.AddRange(Expected(run.Plan, request.Number));
                break;
            case CorrectedField.StationPressure when (request.Number is { } kilopascals ? StationPressureRules.Check("value", kilopascals, altitudeMetres) : NoNumber("kPa")) is { } pressure:
                errors.Add(pressure);
                break;
        }

        return errors;
    }

    /// <summary>What stands in a field now, as stored; null where nothing does.</summary>
    public static string? Standing(RunDetail run, CorrectedField field) => run.Audit.Newest(field) ?? field switch
    {
        CorrectedField.Specimen => run.Summary.Specimen,
        CorrectedField.ExpectedFlash => Stored(run.Plan.ExpectedFlashCelsius),
        CorrectedField.StationPressure => Stored(run.Plan.StationPressureKilopascals),
        _ => null,
    };

    private static string? Stored(double? value) => value is { } number ? RunAudit.Stored(number) : null;

    private static IEnumerable<InputError> Expected(RunPlan plan, double? celsius)
    {
        if (celsius is null)
        {
            return [NoNumber("°C")];
        }

        var aim = new RunAim { ExpectedFlashCelsius = celsius, Scouting = plan.Scouting, SpecificationCelsius = plan.SpecificationCelsius, FineStep = plan.FineStep, Material = plan.Material };
        return aim.Check(plan.Method, []).Select(error => error with { Path = "value" });
    }

    private static InputError NoNumber(string unit) => new("value", $"is not a number, {unit}");

    /// <summary>Why a text that a person entered is not taken; null where it is.</summary>
    public static InputError? WhyNoText(string path, string? text)
    {
        if (string.IsNullOrWhiteSpace(text) || text.Length > CorrectionRequest.LongestText)
        {
            return new(path, string.Create(CultureInfo.InvariantCulture, $"has {text?.Length ?? 0} characters; 1 to {CorrectionRequest.LongestText} printable ones are allowed, and not only spaces"));
        }

        return PersonName.FirstUnprintable(text) is { } position
            ? new(path, string.Create(CultureInfo.InvariantCulture, $"has a character at position {position + 1} that cannot be printed"))
            : null;
    }
}
