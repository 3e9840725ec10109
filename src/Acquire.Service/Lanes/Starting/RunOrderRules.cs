using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using Acquire.Core;
using Acquire.Core.Control;
using Acquire.Core.Methods;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Service.Live;

namespace Acquire.Service.Lanes.Starting;

/// <summary>What is known of a tester when a run is asked for.</summary>
/// <param name="HasFlameSignal">Whether it reports when its test flame is over the cup.</param>
/// <param name="AltitudeMetres">Altitude of the laboratory above mean sea level, m; null where unknown.</param>
/// <param name="Drive">How it is driven; null where it is not.</param>
public readonly record struct OrderFacts(bool HasFlameSignal, double? AltitudeMetres, DriveSettings? Drive = null)
{
    /// <summary>Who judges what happens at its cup.</summary>
    public RunMode Mode { get; init; }
}

/// <summary>Checks what was asked for before a cup is heated under it.</summary>
public static class RunOrderRules
{
    /// <summary>Most characters of a specimen's name.</summary>
    public const int LongestSpecimen = 80;

    /// <summary>Turns a request into an order. On failure the errors name each field and what it may hold.</summary>
    /// <param name="request">What was asked for.</param>
    /// <param name="tester">What is known of the tester.</param>
    /// <param name="methods">The methods that may be asked for.</param>
    /// <param name="order">The order; null on failure.</param>
    /// <param name="errors">What is wrong; empty on success.</param>
    public static bool TryMake(StartRunRequest request, OrderFacts tester, MethodSet methods, [NotNullWhen(true)] out RunOrder? order, out IReadOnlyList<InputError> errors)
    {
        ArgumentNullException.ThrowIfNull(request);
        ArgumentNullException.ThrowIfNull(methods);
        var found = new List<InputError>();
        if (!methods.TryFind(request.MethodId, out var method))
        {
            found.Add(methods.Unknown("methodId", request.MethodId));
        }
        else
        {
            found.AddRange(request.Aim.Check(method, methods.All));
            if (method.Procedure == ProcedureKind.Equilibrium && tester is { Mode: RunMode.Observed, HasFlameSignal: false })
            {
                found.Add(new("methodId", $"{method.Id} gives each test portion one application, and this tester does not report its test flame: nobody would know when it came. Work it by hand (mode \"guided\"), or have it report its flame"));
            }

            Driven(found, request, tester.Drive, method);
        }

        var pressure = Pressure(found, request, tester.AltitudeMetres);
        CheckSpecimen(found, "specimen", request.Specimen);
        errors = found;
        order = found.Count > 0 || method is null ? null : new(request.Specimen, request.Aim.Plan(method) with { StationPressureKilopascals = pressure, HasFlameSignal = tester.HasFlameSignal });
        return order is not null;
    }

    private static void Driven(List<InputError> errors, StartRunRequest request, DriveSettings? drive, MethodDefinition? method)
    {
        if (drive is null)
        {
            return;
        }

        var equilibrium = method is { Procedure: ProcedureKind.Equilibrium };
        var (path, wanted) = request.SpecificationCelsius is { } specification ? ("specificationCelsius", specification) : ("expectedFlashCelsius", request.ExpectedFlashCelsius ?? double.NegativeInfinity);
        var limit = equilibrium ? GuardLimits.HighestSetCelsius(drive) : drive.HighestCelsius;
        if (wanted >= limit && errors.TrueForAll(error => error.Path != path))
        {
            var room = equilibrium ? ", less some room for the block" : "";
            errors.Add(new(path, string.Create(CultureInfo.InvariantCulture, $"{wanted:0.###} °C is not below what this tester may reach, {limit:0.###} °C (drive.highestCelsius in the configuration{room})")));
        }
    }

    private static double? Pressure(List<InputError> errors, StartRunRequest request, double? altitudeMetres)
    {
        var path = request.StationPressure is null ? "stationPressureKilopascals" : "stationPressure";
        var kilopascals = request.StationPressureKilopascals;
        if (request.StationPressure is { } text)
        {
            if (kilopascals is not null)
            {
                errors.Add(new(path, "is given beside stationPressureKilopascals; give the pressure once"));
                return null;
            }

            if (!StationPressure.TryParse(path, text, out var read, out var unread))
            {
                errors.Add(unread!);
                return null;
            }

            kilopascals = read;
        }

        if (kilopascals is { } given && StationPressureRules.Check(path, given, altitudeMetres) is { } wrong)
        {
            errors.Add(wrong);
        }

        return kilopascals;
    }

    /// <summary>What is wrong with a specimen's name.</summary>
    internal static void CheckSpecimen(List<InputError> errors, string path, string? specimen)
    {
        if (string.IsNullOrWhiteSpace(specimen) || specimen.Length > LongestSpecimen)
        {
            errors.Add(new(path, $"has {specimen?.Length ?? 0} characters; 1 to {LongestSpecimen} printable ones are allowed, and not only spaces"));
        }
        else if (PersonName.FirstUnprintable(specimen) is { } position)
        {
            errors.Add(new(path, $"has a character at position {position + 1} that cannot be printed; letters, digits, signs and single spaces are allowed"));
        }
    }
}
