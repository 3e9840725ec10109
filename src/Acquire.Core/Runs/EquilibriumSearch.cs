using Acquire.Core.Methods;

namespace Acquire.Core.Runs;

/// <summary>What the search wants next.</summary>
public enum SearchWish
{
    /// <summary>A test of a fresh portion at <see cref="SearchStep.Celsius"/>.</summary>
    Test,

    /// <summary>Nothing: a portion flashed at <see cref="SearchStep.Celsius"/>, and none did one step below.</summary>
    Found,

    /// <summary>Nothing: a portion flashed at the lowest temperature that may be tested.</summary>
    Below,

    /// <summary>Nothing: no portion flashed up to the highest temperature that may be tested.</summary>
    Above,
}

/// <summary>The next step of the search for a flash point.</summary>
/// <param name="Wish">What is wanted.</param>
/// <param name="Celsius">The temperature it is about, °C.</param>
public readonly record struct SearchStep(SearchWish Wish, double Celsius);

/// <summary>Searches a flash point by fresh portions at fixed temperatures: with the widest step to a bracket, then with each finer one from its lower end upwards.</summary>
/// <remarks>As ASTM D3828, 12.1.1 to 12.1.6. No temperature is asked for twice, none outside the ends, and none above a flash.</remarks>
public static class EquilibriumSearch
{
    // Set points are sums of steps: closer than this they are the same.
    private const double SameCelsius = 1e-6;

    /// <summary>The next step.</summary>
    /// <param name="steps">Steps, °C, wide ones first; at least one.</param>
    /// <param name="startCelsius">Where to begin, °C.</param>
    /// <param name="range">Lowest and highest temperature that may be tested, °C.</param>
    /// <param name="tests">Temperature and outcome of each test that counts.</param>
    public static SearchStep Next(IReadOnlyList<double> steps, double startCelsius, TemperatureRange range, IEnumerable<(double Celsius, bool Flashed)> tests)
    {
        ArgumentNullException.ThrowIfNull(steps);
        ArgumentNullException.ThrowIfNull(range);
        ArgumentNullException.ThrowIfNull(tests);
        var (flash, none) = (double.PositiveInfinity, double.NegativeInfinity);
        foreach (var (celsius, flashed) in tests)
        {
            flash = flashed ? Math.Min(flash, celsius) : flash;
        }

        foreach (var (celsius, flashed) in tests)
        {
            // Above a flash nothing is learnt from a portion that did not.
            none = !flashed && celsius < flash ? Math.Max(none, celsius) : none;
        }

        return double.IsInfinity(flash) || double.IsInfinity(none)
            ? Bracket(steps[0], Math.Clamp(startCelsius, range.From, range.To), range, flash, none)
            : Narrow(steps, flash, none);
    }

    private static SearchStep Bracket(double step, double start, TemperatureRange range, double flash, double none)
    {
        if (double.IsFinite(flash))
        {
            return flash <= range.From + SameCelsius ? new(SearchWish.Below, flash) : new(SearchWish.Test, Tidy(Math.Max(flash - step, range.From)));
        }

        if (double.IsFinite(none))
        {
            return none >= range.To - SameCelsius ? new(SearchWish.Above, none) : new(SearchWish.Test, Tidy(Math.Min(none + step, range.To)));
        }

        return new(SearchWish.Test, Tidy(start));
    }

    private static SearchStep Narrow(IReadOnlyList<double> steps, double flash, double none)
    {
        foreach (var step in steps)
        {
            if (flash - none > step + SameCelsius)
            {
                return new(SearchWish.Test, Tidy(none + step));
            }
        }

        return new(SearchWish.Found, flash);
    }

    private static double Tidy(double celsius) => Math.Round(celsius, 6);
}
