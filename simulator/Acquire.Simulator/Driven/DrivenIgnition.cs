namespace Acquire.Simulator;

/// <summary>What the test flame does to the vapour while it is really over the cup, and what becomes of it.</summary>
internal sealed class DrivenIgnition(SimulatorOptions options, SimulatorRandom random)
{
    // A flame that stays over the cup meets fresh vapour about once a second; a shorter visit than this ignites nothing. Assumed.
    private const double AgainSeconds = 1, BriefestSeconds = 0.05;

    private readonly FlashChance chance = new(options, random);
    private readonly double fireShown = options.Method.FirePoint.Determined ? 1 : double.PositiveInfinity;
    private double judgeAtSeconds;

    // By the shutter of an equilibrium procedure the flame itself is dipped for a little less than the shutter is open.
    private double PassSeconds => options.Method.Equilibrium is { } portions ? 0.7 * portions.ShutterSeconds : options.Rules.Applications.PassSeconds;

    private SimulatedApplication? open;

    /// <summary>The passes that are over, in order.</summary>
    public List<SimulatedApplication> Applications { get; } = [];

    /// <summary>The first flash; null before it.</summary>
    public SimulatedOnset? Flash { get; private set; }

    /// <summary>The burning that does not stop by itself; null before it.</summary>
    public SimulatedOnset? Fire { get; private set; }

    /// <summary>Until when the surface burns, or burned, s.</summary>
    public double BurnsUntilSeconds { get; private set; } = double.NegativeInfinity;

    /// <summary>Strength of the halo in the newest pass, 0 to 1.</summary>
    public double Halo => open?.Halo ?? (Applications.Count > 0 ? Applications[^1].Halo : 0);

    /// <summary>Lets a step of time go by. True where the flame stirred the vapour away.</summary>
    public bool Step(double seconds, double readCelsius, TestFlameArm arm, VapourModel vapour, DrivenDetector detector)
    {
        if (arm.IsOver && open is null)
        {
            Arrive(seconds, readCelsius, arm, vapour, detector);
        }

        if (open is null)
        {
            return false;
        }

        var leaves = !arm.IsOver;
        var brief = seconds - open.TimeSeconds < BriefestSeconds;
        var judged = seconds >= judgeAtSeconds || (leaves && open.VapourRatio == 0 && !brief);
        if (judged)
        {
            Judge(seconds, readCelsius, vapour, detector);
            judgeAtSeconds = seconds + AgainSeconds;
        }

        if (leaves)
        {
            Applications.Add(open with { DurationSeconds = Math.Round(seconds - open.TimeSeconds, 4) });
            open = null;
        }

        return judged;
    }

    private void Arrive(double seconds, double readCelsius, TestFlameArm arm, VapourModel vapour, DrivenDetector detector)
    {
        var halo = Math.Clamp((vapour.CurrentRatio - VapourModel.HaloFrom) / (1 - VapourModel.HaloFrom), 0, 1);
        open = new(Applications.Count + 1, Math.Round(seconds, 4), Math.Round(readCelsius, 4), 0, arm.FromLeft, 0, Math.Round(halo, 5), false, 0);
        judgeAtSeconds = seconds + (PassSeconds * random.Between(0.2, 0.8));
        detector.Arrived(seconds, halo);
    }

    private void Judge(double seconds, double readCelsius, VapourModel vapour, DrivenDetector detector)
    {
        var ratio = vapour.CurrentRatio;
        open = open! with { VapourRatio = open.VapourRatio == 0 ? Math.Round(ratio, 5) : open.VapourRatio };
        if (seconds < BurnsUntilSeconds || !chance.Happens(ratio, 1))
        {
            return;
        }

        var onset = new SimulatedOnset(open.Number, Math.Round(seconds, 4), Math.Round(readCelsius, 4));
        Flash ??= onset;
        var burned = chance.BurningSeconds(ratio, vapour.FireRatio * fireShown, out var isFire);
        Fire ??= isFire ? onset : null;
        BurnsUntilSeconds = burned > 0 ? seconds + burned : BurnsUntilSeconds;
        open = open with { Flashed = true, BurnedSeconds = Math.Round(open.BurnedSeconds + burned, 4) };
        detector.Flashed(seconds, burned);
    }
}
