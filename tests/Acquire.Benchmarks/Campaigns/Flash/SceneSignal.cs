namespace Acquire.Benchmarks.Campaigns.Flash;

/// <summary>A bump in a detector: centre and width at half height in s, height in sigma.</summary>
internal readonly record struct SceneBump(double Centre, double Width, double Height)
{
    private const double Fwhm = 2.772588722239781; // 4 ln 2

    public double At(double t) => Height * Math.Exp(-Fwhm * (t - Centre) * (t - Centre) / (Width * Width));
}

/// <summary>One wave of a draught's flicker: frequency in Hz, height in sigma, phase.</summary>
internal readonly record struct SceneWave(double Hertz, double Height, double Phase)
{
    public double At(double t) => Height * Math.Sin((2 * Math.PI * Hertz * t) + Phase);
}

/// <summary>What one pass does to one detector, without noise, in sigma.</summary>
internal sealed record SceneSignal(SceneBump Warmth, SceneBump Halo, double Onset, double Flash, double Hold, SceneWave[] Draught)
{
    private const double RiseSeconds = 0.02, FallSeconds = 0.05;

    // First-order lag is followed in steps short against it, s.
    private const double LagStepSeconds = 0.001;

    public double At(double t)
    {
        var sum = Warmth.At(t) + Halo.At(t) + (Flash * Flame(t - Onset));
        foreach (var wave in Draught)
        {
            sum += wave.At(t);
        }

        return sum;
    }

    /// <summary>Adds it to the readings from one index to another, both included, behind a lag in s.</summary>
    public void AddTo(double[] target, double[] times, int from, int to, double lag)
    {
        if (lag == 0)
        {
            for (var i = from; i <= to; i++)
            {
                target[i] += At(times[i]);
            }

            return;
        }

        var state = At(times[from]);
        var t = times[from];
        for (var i = from; i <= to; i++)
        {
            for (; t < times[i] - 1e-9; t += LagStepSeconds)
            {
                state += (At(t) - state) * LagStepSeconds / lag;
            }

            target[i] += state;
        }
    }

    private double Flame(double since)
    {
        var fall = since - RiseSeconds - Hold;
        return since <= 0 ? 0 : fall <= 0 ? Math.Min(1, since / RiseSeconds) : Math.Max(0, 1 - (fall / FallSeconds));
    }
}
