namespace Acquire.Simulator;

/// <summary>Activity coefficients of a liquid mixture by the NRTL equation; 1 for each where all its liquids are alike.</summary>
internal sealed class ActivityCoefficients
{
    private const double CaloriesPerMoleKelvin = 1.98721;

    private readonly int count;
    private readonly double[,] energies;
    private readonly double[,] alphas;
    private readonly bool isIdeal;

    /// <summary>Of liquids each two of which are alike or a known pair.</summary>
    public ActivityCoefficients(IReadOnlyList<Liquid> liquids)
    {
        count = liquids.Count;
        (energies, alphas) = (new double[count, count], new double[count, count]);
        isIdeal = true;
        for (var i = 0; i < count; i++)
        {
            for (var j = 0; j < count; j++)
            {
                if (i != j && !NrtlPairs.IsIdeal(liquids[i], liquids[j]))
                {
                    var pair = NrtlPairs.Find(liquids[i].Name, liquids[j].Name)!;
                    energies[i, j] = pair.First == liquids[i].Name ? pair.FirstSecond : pair.SecondFirst;
                    alphas[i, j] = pair.Alpha;
                    isIdeal = false;
                }
            }
        }
    }

    /// <summary>The coefficients at a composition and a temperature.</summary>
    /// <param name="fractions">Mole fractions in the order of the liquids.</param>
    /// <param name="celsius">Temperature, °C.</param>
    /// <param name="coefficients">Where they go.</param>
    public void At(ReadOnlySpan<double> fractions, double celsius, Span<double> coefficients)
    {
        if (isIdeal)
        {
            coefficients.Fill(1);
            return;
        }

        var thermal = CaloriesPerMoleKelvin * (celsius + 273.15);
        Span<double> weights = stackalloc double[count];
        Span<double> pulls = stackalloc double[count];
        for (var j = 0; j < count; j++)
        {
            for (var k = 0; k < count; k++)
            {
                weights[j] += fractions[k] * Weight(k, j, thermal);
                pulls[j] += fractions[k] * Weight(k, j, thermal) * energies[k, j] / thermal;
            }
        }

        for (var i = 0; i < count; i++)
        {
            var logarithm = pulls[i] / weights[i];
            for (var j = 0; j < count; j++)
            {
                logarithm += fractions[j] * Weight(i, j, thermal) / weights[j] * ((energies[i, j] / thermal) - (pulls[j] / weights[j]));
            }

            coefficients[i] = Math.Exp(logarithm);
        }
    }

    private double Weight(int i, int j, double thermal) => Math.Exp(-alphas[i, j] * energies[i, j] / thermal);
}
