namespace Acquire.Simulator;

/// <summary>The ignition detector of a driven tester: noise, the test flame as far as it is in sight, halo, flash and burning.</summary>
internal sealed class DrivenDetector(SimulatorOptions options)
{
    // The detector looks at the middle of the cup, a little off; widths in radii at half height. A pass is some 0.6 s wide, a halo 0.4 to 0.8 s.
    private const double SightRadii = 1.2, OffsetRadii = 0.1, DraughtSeconds = 3;

    // A halo grows and dies away like a small diffusion flame, behind where the test flame is; assumed.
    private const double HaloLagSeconds = 0.15;

    private readonly DetectorScene scene = options.Scene;
    private readonly DetectorNoise noise = new(options.Scene, new(options.Seed, RandomPurpose.Detector));
    private readonly SimulatorRandom random = new(options.Seed, RandomPurpose.Pulses);
    private readonly List<Pulse> visible = [];
    private double readAtSeconds = -1 / options.RowsPerSecond;
    private double offset;
    private double passSigmas;
    private double haloSigmas;
    private double haloRadii = 1;
    private double haloGrown;
    private bool onItsWay;

    /// <summary>The flame comes over the cup.</summary>
    public void Arrived(double seconds, double halo)
    {
        haloSigmas = scene.HaloSigma * halo * random.Scatter(0.1);
        if (random.NextUnit() < scene.DraughtShare)
        {
            visible.Add(new DraughtPulse(seconds, seconds + DraughtSeconds, 1, Waves.Draw(random, 3, 1, 4, 1)));
        }
    }

    /// <summary>A flame spreads over the surface, and burns for so long.</summary>
    public void Flashed(double seconds, double burned)
    {
        visible.Add(new FlashPulse(seconds, scene.FlashSigma * random.Scatter(0.05), scene.FlashTailSeconds));
        if (burned > 0)
        {
            visible.Add(new BurnPulse(seconds, seconds + burned, scene.BurnSigma * random.Scatter(0.05), Waves.Draw(random, 4, 1, 6, 0.2)));
        }
    }

    /// <summary>Lets a step of time go by.</summary>
    public void Step(double seconds, TestFlameArm arm)
    {
        // No pass is quite like another; but what it is like, it is from the moment the flame sets out, so that nothing jumps on the way.
        if (!arm.IsAtRest && !onItsWay)
        {
            offset = (arm.FromLeft ? -OffsetRadii : OffsetRadii) + (OffsetRadii * random.NextGaussian());
            passSigmas = scene.PassSigma * random.Scatter(0.1);
            haloRadii = random.Between(0.8, 1.6);
        }

        onItsWay = !arm.IsAtRest;
        haloGrown += ((haloSigmas * arm.Seen(haloRadii, offset)) - haloGrown) * seconds / HaloLagSeconds;
    }

    /// <summary>What it reads now, in its own unit. To be asked once for each row.</summary>
    public double Read(double seconds, TestFlameArm arm)
    {
        var sigmas = noise.Next(seconds, seconds - readAtSeconds) + (passSigmas * arm.Seen(SightRadii, offset)) + haloGrown;
        readAtSeconds = seconds;
        visible.RemoveAll(pulse => pulse.ToSeconds < seconds);
        foreach (var pulse in visible)
        {
            sigmas += pulse.At(seconds);
        }

        return RowRenderer.InSteps(scene.Baseline + (scene.UnitsPerSigma * sigmas), scene.StepUnits);
    }
}
