namespace Acquire.Core.Results;

/// <summary>Coverage factor for 95 %: the two-sided quantile of Student's t distribution (JCGM 100:2008, annex G).</summary>
public static class CoverageFactor
{
    /// <summary>The level, as a probability.</summary>
    public const double Level = 0.95;

    /// <summary>The factor where nothing limits the degrees of freedom: the normal distribution's.</summary>
    public const double Normal = 1.959963984540054;

    // With one degree of freedom: tan(0.475 π). Every other factor lies between the two.
    private const double Largest = 12.706204736174707;

    // From here on the series costs more than it gains: five terms of the expansion are right to ten digits.
    private const int ExpansionFrom = 200;

    /// <summary>The factor for effective degrees of freedom.</summary>
    /// <param name="degreesOfFreedom">At least 1; null where nothing limits them. A fraction is cut off (JCGM 100:2008, G.6.4), which makes the factor larger, never smaller.</param>
    /// <exception cref="ArgumentOutOfRangeException">Fewer than one.</exception>
    public static double For(double? degreesOfFreedom)
    {
        if (degreesOfFreedom is not { } given)
        {
            return Normal;
        }

        if (!(given >= 1))
        {
            throw new ArgumentOutOfRangeException(nameof(degreesOfFreedom), given, "fewer than one degree of freedom");
        }

        // A sum that should give 11 may give 10.9999999999.
        var whole = Math.Floor(given + 1e-9);
        return whole >= ExpansionFrom ? Expansion(whole) : Quantile((int)whole);
    }

    // Halving an interval needs no derivative and no start, and ends at the last digit.
    private static double Quantile(int degrees)
    {
        var (low, high) = (Normal, Largest);
        while (true)
        {
            var middle = low + ((high - low) / 2);
            if (middle <= low || middle >= high)
            {
                return middle;
            }

            (low, high) = Inside(middle, degrees) < Level ? (middle, high) : (low, middle);
        }
    }

    /// <summary>Probability within ±t: Abramowitz and Stegun (1964), 26.7.3 and 26.7.4, finite series for whole degrees of freedom.</summary>
    private static double Inside(double t, int degrees)
    {
        var angle = Math.Atan(t / Math.Sqrt(degrees));
        var (sine, cosine) = Math.SinCos(angle);
        var odd = degrees % 2 == 1;
        var term = odd ? cosine : 1;
        double sum = 0;
        for (var power = odd ? 1 : 0; power <= degrees - 2; power += 2)
        {
            sum += term;
            term *= cosine * cosine * (power + 1) / (power + 2);
        }

        return odd ? 2 / Math.PI * (angle + (sine * sum)) : sine * sum;
    }

    /// <summary>Abramowitz and Stegun (1964), 26.7.5: expansion about the normal quantile in powers of 1/ν.</summary>
    private static double Expansion(double degrees)
    {
        const double X = Normal, X3 = X * X * X, X5 = X3 * X * X, X7 = X5 * X * X, X9 = X7 * X * X;
        const double G1 = (X3 + X) / 4;
        const double G2 = ((5 * X5) + (16 * X3) + (3 * X)) / 96;
        const double G3 = ((3 * X7) + (19 * X5) + (17 * X3) - (15 * X)) / 384;
        const double G4 = ((79 * X9) + (776 * X7) + (1482 * X5) - (1920 * X3) - (945 * X)) / 92160;
        var v = 1 / degrees;
        return X + (v * (G1 + (v * (G2 + (v * (G3 + (v * G4)))))));
    }
}
