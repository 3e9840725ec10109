namespace Acquire.Simulator;

/// <summary>What a pass of the test flame does to the vapour over the cup, and what the detector sees of it.</summary>
internal sealed class Ignition(SimulatorOptions options, SimulatorRandom random)
{
    // A flash turns from unlikely to likely (10 to 90 %) over this many °C; 0.3 to 0.5 °C assumed.
    private const double WidthCelsius = 0.3;

    // d ln(ratio)/dT of an oil near its flash point, 1/°C: 85 kJ/mol over R T² at 493 K.
    private const double LogRatioPerCelsius = 0.042;

    private readonly DetectorScene scene = options.Scene;

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
        var flashed = Happens(ratio, 1);
        if (flashed)
        {
            var onset = pass.MiddleSeconds + (pass.DurationSeconds * random.Between(-0.3, 0.3));
            if (double.IsNaN(FlashSeconds))
            {
                FlashSeconds = onset;
            }

            burned = BurningSeconds(ratio, fireRatio, onset);
            ShowFlash(onset, burned);
        }

        Applications.Add(new(pass.Number, pass.StartSeconds, 0, pass.DurationSeconds, pass.FromLeft, Math.Round(ratio, 5), Math.Round(halo, 5), flashed, burned));
    }

    private double BurningSeconds(double ratio, double fireRatio, double onset)
    {
        var sustained = options.Method.FirePoint.SustainedSeconds;
        if (Happens(ratio, fireRatio))
        {
            // It would burn on; the cover goes on some seconds after the method has its fire point.
            FireSeconds = onset;
            return sustained + random.Between(2, 5);
        }

        var closeness = (ratio - 1) / (fireRatio - 1);
        return options.ShortBurns && closeness > 0.6
            ? Math.Min(sustained - 0.7, 0.3 + ((sustained - 1) * (closeness - 0.6) / 0.4 * random.Between(0.6, 1)))
            : 0;
    }

    private bool Happens(double ratio, double threshold)
    {
        var celsiusOver = Math.Log(Math.Max(ratio, 1e-9) / threshold) / LogRatioPerCelsius;
        var chance = 1 / (1 + Math.Exp(-celsiusOver * 2 * Math.Log(9) / WidthCelsius));
        return random.NextUnit() < chance;
    }

    private void ShowPass(FlamePass pass, double halo)
    {
        // The detector does not look from the exact middle: the flame comes by a little sooner from one side.
        var middle = pass.MiddleSeconds + (pass.FromLeft ? -0.04 : 0.04);
        Pulses.Add(new BumpPulse(middle + (0.04 * random.NextGaussian()), 0.6 * random.Scatter(0.1), scene.PassSigma * random.Scatter(0.1)));
        var haloWidth = random.Between(0.4, 0.8);
        var haloScatter = random.Scatter(0.1);
        if (halo > 0)
        {
            Pulses.Add(new BumpPulse(middle + (0.04 * random.NextGaussian()), haloWidth, scene.HaloSigma * halo * haloScatter));
        }

        if (random.NextUnit() < scene.DraughtShare)
        {
            Pulses.Add(new DraughtPulse(pass.StartSeconds - 1, pass.EndSeconds + 1, 1, Waves.Draw(random, 3, 1, 4, 1)));
        }
    }

    private void ShowFlash(double onset, double burned)
    {
        Pulses.Add(new FlashPulse(onset, scene.FlashSigma * random.Scatter(0.05), scene.FlashTailSeconds));
        if (burned > 0)
        {
            BurnsUntilSeconds = onset + burned;
            Pulses.Add(new BurnPulse(onset, BurnsUntilSeconds, scene.BurnSigma * random.Scatter(0.05), Waves.Draw(random, 4, 1, 6, 0.2)));
        }
    }
}
