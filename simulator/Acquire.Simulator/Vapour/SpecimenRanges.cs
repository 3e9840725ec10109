using System.Globalization;
using Acquire.Core;

namespace Acquire.Simulator;

/// <summary>Whether a flash point can be simulated by a method, asked for or computed.</summary>
internal static class SpecimenRanges
{
    public static void Check(List<InputError> errors, SimulatorOptions options)
    {
        var scope = options.Method.FlashScopeCelsius;
        if (options.Specimen is not { } specimen)
        {
            SimulatorOptionRanges.Within(errors, "flashCelsius", options.FlashCelsius, scope.From, scope.To);
            return;
        }

        var computed = options.WithSpecimen(specimen);
        if (!(computed.FlashCelsius >= scope.From && computed.FlashCelsius <= scope.To))
        {
            errors.Add(new("specimen", string.Create(CultureInfo.InvariantCulture, $"{specimen.Words} flashes at {computed.FlashCelsius:0.0} °C by this method (computed), which is not within {scope.From:0.####} to {scope.To:0.####}")));
        }

        if (options.FlashCelsius != computed.FlashCelsius)
        {
            errors.Add(new("flashCelsius", string.Create(CultureInfo.InvariantCulture, $"{options.FlashCelsius} is not what follows for {specimen.Words}, {computed.FlashCelsius}")));
        }

        if (options.FireCelsius is { } fire && fire != computed.FireCelsius)
        {
            errors.Add(new("fireCelsius", string.Create(CultureInfo.InvariantCulture, $"{fire} is not what follows for {specimen.Words}")));
        }
    }
}
