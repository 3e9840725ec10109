namespace Acquire.Simulator;

/// <summary>Everything in the detector's signal that has no meaning, reading by reading, in sigma.</summary>
internal sealed class DetectorNoise(DetectorScene scene, SimulatorRandom random)
{
    private const double MemorySeconds = 0.3, DriftPullSeconds = 60;

    private readonly double white = Math.Sqrt(scene.WhiteShare);
    private readonly double coloured = Math.Sqrt(1 - scene.WhiteShare);
    private readonly double humPhase = random.Between(0, 2 * Math.PI);
    private double memory = random.NextGaussian();
    private double drift;

    /// <summary>The noise at a moment that is so long after the one before.</summary>
    public double Next(double seconds, double sincePrevious)
    {
        var keep = Math.Exp(-sincePrevious / MemorySeconds);
        memory = (keep * memory) + (Math.Sqrt(1 - (keep * keep)) * random.NextGaussian());
        drift += (scene.DriftSigma * Math.Sqrt(sincePrevious) * random.NextGaussian()) - (drift * sincePrevious / DriftPullSeconds);
        var hum = scene.HumSigma * Math.Sin((2 * Math.PI * scene.HumHertz * seconds) + humPhase);
        var spike = scene.SpikesPerSecond > 0 && random.NextUnit() < scene.SpikesPerSecond * sincePrevious ? random.Between(10, 40) : 0;
        return (white * random.NextGaussian()) + (coloured * memory) + drift + hum + spike;
    }
}
