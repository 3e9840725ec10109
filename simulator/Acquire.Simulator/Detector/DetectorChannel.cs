namespace Acquire.Simulator;

/// <summary>One ignition detector reading what happens over the cup. Ask for moments in order.</summary>
internal sealed class DetectorChannel
{
    // A lag is followed in steps far below the rise of a flash.
    private const double LagStepSeconds = 0.002;

    private readonly DetectorNoise noise;
    private readonly SignalDisturbance disturbance;
    private readonly IReadOnlyList<Pulse> pulses;
    private readonly List<Pulse> visible = [];
    private readonly double baseline;
    private readonly double unitsPerSigma;
    private readonly double stepUnits;
    private readonly double lagSeconds;
    private int nextPulse;
    private double lagged;

    /// <param name="options">The run.</param>
    /// <param name="script">What happens in it.</param>
    /// <param name="kind">What the detector is.</param>
    /// <param name="isSecond">Whether it is the second one of the tester.</param>
    public DetectorChannel(SimulatorOptions options, RunScript script, DetectorKind kind, bool isSecond)
    {
        var scene = options.Scene;
        var random = new SimulatorRandom(options.Seed, isSecond ? RandomPurpose.SecondDetector : RandomPurpose.Detector);
        disturbance = new(options, script.Truth.EndSeconds, isSecond);
        if (scene.ViewOf(kind) is { } view)
        {
            noise = new(scene with { WhiteShare = view.WhiteShare }, random);
            pulses = new SeenPulses(view, new(options.Seed, kind == DetectorKind.Thermal ? RandomPurpose.ThermalView : RandomPurpose.IonisationView)).Of(script.Pulses);
            (baseline, unitsPerSigma, stepUnits, lagSeconds) = (view.Baseline, view.UnitsPerSigma, view.StepUnits, view.LagSeconds);
            return;
        }

        noise = new(scene, random);
        pulses = script.Pulses;
        (baseline, unitsPerSigma, stepUnits) = (scene.Baseline, scene.UnitsPerSigma, scene.StepUnits);
    }

    /// <summary>The reading at a moment that is so long after the one before, in the detector's own unit.</summary>
    public double Read(double seconds, double sincePrevious)
    {
        var sigmas = noise.Next(seconds, sincePrevious);
        while (nextPulse < pulses.Count && pulses[nextPulse].FromSeconds <= seconds)
        {
            visible.Add(pulses[nextPulse++]);
        }

        sigmas = lagSeconds > 0 ? sigmas + Lagged(seconds, sincePrevious) : WithVisible(sigmas, seconds);
        visible.RemoveAll(pulse => pulse.ToSeconds < seconds);
        sigmas = disturbance.Converted(seconds, sigmas + disturbance.Next(seconds, sincePrevious));
        return RowRenderer.InSteps(baseline + (unitsPerSigma * sigmas), stepUnits);
    }

    // Newest first: sums of floating point depend on their order, and traces of a seed are to stay as they are.
    private double WithVisible(double sigmas, double seconds)
    {
        for (var index = visible.Count - 1; index >= 0; index--)
        {
            var pulse = visible[index];
            sigmas += seconds >= pulse.FromSeconds && seconds <= pulse.ToSeconds ? pulse.At(seconds) : 0;
        }

        return sigmas;
    }

    private double Lagged(double seconds, double sincePrevious)
    {
        var steps = visible.Count == 0 ? 1 : Math.Max(1, (int)Math.Ceiling(sincePrevious / LagStepSeconds));
        var step = sincePrevious / steps;
        var keep = Math.Exp(-step / lagSeconds);
        for (var index = steps - 1; index >= 0; index--)
        {
            // The middle of a step stands for the whole of it.
            lagged = (keep * lagged) + ((1 - keep) * WithVisible(0, seconds - ((index + 0.5) * step)));
        }

        return lagged;
    }
}
