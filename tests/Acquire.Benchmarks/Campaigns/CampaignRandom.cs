namespace Acquire.Benchmarks.Campaigns;

/// <summary>Repeatable random numbers.</summary>
internal sealed class CampaignRandom(int seed)
{
    private readonly Random _random = new(seed);
    private double _spare = double.NaN;

    /// <summary>Uniform from 0 to 1.</summary>
    public double Uniform() => _random.NextDouble();

    /// <summary>Standard normal, by the polar method of Marsaglia.</summary>
    public double Normal()
    {
        if (!double.IsNaN(_spare))
        {
            var kept = _spare;
            _spare = double.NaN;
            return kept;
        }

        double u, v, s;
        do
        {
            u = (2 * _random.NextDouble()) - 1;
            v = (2 * _random.NextDouble()) - 1;
            s = (u * u) + (v * v);
        }
        while (s is >= 1 or 0);
        var scale = Math.Sqrt(-2 * Math.Log(s) / s);
        _spare = v * scale;
        return u * scale;
    }
}
