namespace Acquire.Simulator;

/// <summary>The vapour of a test portion of known liquids: modified Raoult at the surface, Le Chatelier for the limit, fractions that change as the light ends leave.</summary>
internal sealed class SpecimenVapour : IVapourSource
{
    // As much as the heat model has in the cup: 70 mL at 880 kg/m³. Its volume counts for nothing else.
    private const double Grams = 61.6;

    private readonly Specimen specimen;
    private readonly ActivityCoefficients activity;
    private readonly double[] moles;
    private readonly double[] fractions;
    private readonly double[] coefficients;
    private readonly double[] pressures;

    public SpecimenVapour(Specimen specimen)
    {
        this.specimen = specimen;
        var count = specimen.Parts.Count;
        activity = new([.. specimen.Parts.Select(part => part.Liquid)]);
        (moles, fractions, coefficients, pressures) = (new double[count], new double[count], new double[count], new double[count]);
        Renew();
    }

    /// <summary>Mole fractions of what is left, in the order of the specimen's liquids.</summary>
    public IReadOnlyList<double> Fractions => fractions;

    public SurfaceVapour At(double celsius, double kilopascals)
    {
        var total = Partial(celsius);
        var shares = 0.0;
        for (var i = 0; i < pressures.Length; i++)
        {
            // Le Chatelier: each vapour brings its share of what its own limit asks for; water brings none.
            shares += specimen.Parts[i].Liquid.Limit is { } limit ? pressures[i] / total / limit.InCup(celsius) : 0;
        }

        return new(Math.Min(0.99, total / kilopascals), 1 / shares);
    }

    public double LatentJoulesPerMole(double celsius)
    {
        var total = Partial(celsius);
        var latent = 0.0;
        for (var i = 0; i < pressures.Length; i++)
        {
            latent += pressures[i] / total * specimen.Parts[i].Liquid.VapourPressure.LatentJoulesPerMole(celsius);
        }

        return latent;
    }

    public void Evaporate(double moles, double celsius)
    {
        var total = Partial(celsius);
        for (var i = 0; i < pressures.Length; i++)
        {
            // The last trace never leaves: a fraction of zero has no logarithm.
            this.moles[i] = Math.Max(1e-9, this.moles[i] - (moles * pressures[i] / total));
        }

        Weigh();
    }

    public void Renew()
    {
        var gramsPerMole = specimen.Parts.Sum(part => part.MoleFraction * part.Liquid.GramsPerMole);
        for (var i = 0; i < moles.Length; i++)
        {
            moles[i] = Grams / gramsPerMole * specimen.Parts[i].MoleFraction;
        }

        Weigh();
    }

    private void Weigh()
    {
        var total = moles.Sum();
        for (var i = 0; i < moles.Length; i++)
        {
            fractions[i] = moles[i] / total;
        }
    }

    /// <summary>Partial pressures x γ p over the surface; their sum, kPa.</summary>
    private double Partial(double celsius)
    {
        activity.At(fractions, celsius, coefficients);
        var total = 0.0;
        for (var i = 0; i < pressures.Length; i++)
        {
            pressures[i] = fractions[i] * coefficients[i] * specimen.Parts[i].Liquid.VapourPressure.Kilopascals(celsius);
            total += pressures[i];
        }

        return total;
    }
}
