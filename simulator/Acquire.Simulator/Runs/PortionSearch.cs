using Acquire.Core.Methods;

namespace Acquire.Simulator;

/// <summary>How the person at the bench searches, as ASTM D3828, 12.1.1 to 12.1.6, tells it: written anew here, so that the program's own search has something to be compared with.</summary>
internal static class PortionSearch
{
    /// <summary>Tests one temperature after the other; gives the lowest at which there was a flash, °C, or null where the end of the range was reached.</summary>
    /// <param name="options">Where to begin, and whether the finer step is made.</param>
    /// <param name="test">Tests a fresh portion at a temperature; true for a flash.</param>
    public static double? Run(SimulatorOptions options, Func<double, bool> test)
    {
        var rules = options.Method.Equilibrium!;
        var shift = options.Method.Barometric.CoefficientCelsiusPerKilopascal * (options.Method.Barometric.StandardKilopascals - options.StationPressureKilopascals);
        if (rules.Aim == EquilibriumAim.FlashNoFlash)
        {
            test(Math.Round((options.SpecificationCelsius!.Value - shift) / rules.SetPoint!.StepCelsius) * rules.SetPoint.StepCelsius);
            return null;
        }

        var (wide, fine) = (rules.StepsCelsius![0], rules.StepsCelsius[^1]);
        var (lowest, highest) = (Math.Ceiling(options.Method.FlashScopeCelsius.From - shift), Math.Floor(options.Method.FlashScopeCelsius.To - shift));
        var at = Math.Clamp(Math.Round(options.Expected / fine) * fine, lowest, highest);
        double? flashed = null, not = null;
        while (flashed is null || not is null)
        {
            var flash = test(at);
            flashed = flash ? at : flashed;
            not = flash ? not : at;
            var next = Math.Clamp(flash ? at - wide : at + wide, lowest, highest);
            if (next == at && (flashed is null || not is null))
            {
                return null;
            }

            at = next;
        }

        while (flashed - not > fine + 1e-6)
        {
            var middle = not.Value + fine;
            if (test(middle))
            {
                flashed = middle;
            }
            else
            {
                not = middle;
            }
        }

        return options.FineStep && rules.OptionalStepCelsius is { } half && test(flashed.Value - half) ? flashed - half : flashed;
    }
}
