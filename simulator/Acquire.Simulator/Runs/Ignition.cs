namespace Acquire.Simulator;

/// <summary>What a pass of the test flame does to the vapour over the cup, and what the detector sees of it.</summary>
internal sealed class Ignition(SimulatorOptions options, SimulatorRandom random)
{
    private readonly FlashChance chance = new(options, random);
    private readonly DetectorScene scene = options.Scene;
    private readonly FlashShape shape = new(options);

    /// <summary>Which flashes and halos were disturbed.</summary>
    public IReadOnlyList<DisturbanceEvent> Events => shape.Events;

    public List<Pulse> Pulses { get; } = [];

    public List<SimulatedApplication> Applications { get; } = [];

    /// <summary>When the flame of the first flash began, s; NaN before it.</summary>
    public double FlashSeconds { get; private set; } = double.NaN;

    /// <summary>When the burning began that did not stop by itself, s; NaN before it.</summary>
    public double FireSeconds { get; private set; } = double.NaN;

    /// <summary>Until when the surface burns, or burned, s.</summary>
    public double BurnsUntilSeconds { get; private set; } = double.NegativeInfinity;

    /// <summary>Judges a pass with the flame over the middle of the cup.</summary>
    public void Judge(FlamePass pass, double ratio, double fireRatio)
    {
        if (options.Bench.Has(BenchFaultKind.FlameOut, pass.MiddleSeconds))
        {
            // A holder without a flame warms nothing and lights nothing.
            Applications.Add(new(pass.Number, pass.StartSeconds, 0, pass.DurationSeconds, pass.FromLeft, Math.Round(ratio, 5), 0, false, 0));
            return;
        }

        var halo = Math.Clamp((ratio - VapourModel.HaloFrom) / (1 - VapourModel.HaloFrom), 0, 1);
        ShowPass(pass, halo);
        var burned = 0.0;
        var flashed = chance.Happens(ratio, 1);
        if (flashed)
        {
            var onset = shape.Onset(pass.MiddleSeconds + (pass.DurationSeconds * random.Between(-0.3, 0.3)), pass.MiddleSeconds, pass.EndSeconds);
            if (double.IsNaN(FlashSeconds))
            {
                FlashSeconds = onset;
            }

            burned = chance.BurningSeconds(ratio, fireRatio, out var isFire);
            FireSeconds = isFire ? onset : FireSeconds;
            ShowFlash(onset, burned);
        }

        Applications.Add(new(pass.Number, pass.StartSeconds, 0, pass.DurationSeconds, pass.FromLeft, Math.Round(ratio, 5), Math.Round(halo, 5), flashed, burned));
    }

    /// <summary>The specimen ignites with no test flame over the cup, and burns until it is covered.</summary>
    /// <param name="seconds">When, s.</param>
    /// <param name="burned">How long it burns, s.</param>
    /// <param name="flicker">How it flickers.</param>
    public void IgniteByItself(double seconds, double burned, IReadOnlyList<Wave> flicker)
    {
        BurnsUntilSeconds = seconds + burned;
        Pulses.Add(new BurnPulse(seconds, BurnsUntilSeconds, scene.BurnSigma, flicker));
    }

    private void ShowPass(FlamePass pass, double halo)
    {
        // The detector does not look from the exact middle: the flame comes by a little sooner from one side.
        var side = pass.FromLeft ? 1 : -1;
        var middle = pass.MiddleSeconds + (side * -0.04);
        Pulses.Add(new BumpPulse(middle + (0.04 * random.NextGaussian()), 0.6 * random.Scatter(0.1), scene.PassSigma * random.Scatter(0.1)) { Origin = PulseOrigin.Pass, FromSide = side });
        var haloWidth = shape.HaloWidth(random.Between(0.4, 0.8), pass.MiddleSeconds);
        var haloScatter = random.Scatter(0.1);
        if (halo > 0)
        {
            Pulses.Add(new BumpPulse(middle + (0.04 * random.NextGaussian()), haloWidth, scene.HaloSigma * halo * haloScatter) { Origin = PulseOrigin.Halo, FromSide = side });
        }

        if (random.NextUnit() < scene.DraughtShare)
        {
            Pulses.Add(new DraughtPulse(pass.StartSeconds - 1, pass.EndSeconds + 1, 1, Waves.Draw(random, 3, 1, 4, 1)));
        }
    }

    private void ShowFlash(double onset, double burned)
    {
        Pulses.AddRange(shape.Shown(onset, scene.FlashSigma * random.Scatter(0.05)));
        if (burned > 0)
        {
            BurnsUntilSeconds = onset + burned;
            Pulses.Add(new BurnPulse(onset, BurnsUntilSeconds, scene.BurnSigma * random.Scatter(0.05), Waves.Draw(random, 4, 1, 6, 0.2)));
        }
    }
}
