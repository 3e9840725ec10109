namespace Acquire.Core.Detection;

/// <content>What the detector does while nothing happens.</content>
public sealed partial class DetectorWatch
{
    private void LearnIdle(double seconds, double every)
    {
        if (every > 0 && seconds - _noiseAt < every - DetectorHistory.RoundingSeconds)
        {
            return;
        }

        // Asked at every reading until enough quiet has passed, so the readings are copied only when they can suffice.
        var (from, to) = (Math.Max(seconds - IdleSeconds, _busyUntil), seconds - 0.1);
        if (!(to - Math.Max(from, _history.OldestSeconds) >= LeastIdleSeconds))
        {
            return;
        }

        var newest = _learner.Median(_history, Math.Max(seconds - 1.2, _busyUntil), to, least: 5);
        if (_learner.Learn(_history, from, to, LeastIdleSeconds, effective: Spectrum.Spectrum is null, newest) is { } learnt)
        {
            // Nothing below a thousandth of what the detector has shown in this run is called a stir.
            var smooth = Math.Max(learnt.Smooth, 0.001 * (_highest - _lowest));
            _noise = learnt with { Smooth = smooth };
            _noiseAt = seconds;
        }
    }

    private void LearnSpectrum(double seconds)
    {
        var (from, to) = (Math.Max(seconds - IdleSeconds, _busyUntil), seconds - 0.1);
        if (to - Math.Max(from, _history.OldestSeconds) >= LeastIdleSeconds)
        {
            Spectrum.Learn(_history, from, to);
            _spectrumAt = seconds;
            _second?.LearnQuiet(from, to);
        }
    }

    // A detector that rests on one count of its converter is not without noise: half a count is what it cannot tell.
    private double HalfCount => double.IsFinite(_quantum) ? 0.5 * _quantum : 0;

    // Before enough quiet was seen, the differences between the readings at hand have to do.
    private IdleNoise NoiseOrGuess(double seconds)
    {
        var noise = _noise ?? IdleNoise.From(_history.Between(seconds - IdleSeconds, double.PositiveInfinity)) ?? new IdleNoise(0, 0, 0, 0, 0);

        var count = HalfCount;
        if (count <= Math.Min(noise.White, noise.Smooth))
        {
            return noise;
        }

        return noise with
        {
            White = Math.Max(noise.White, count),
            Effective = Math.Max(noise.Effective, count),
            Smooth = Math.Max(noise.Smooth, count),
        };
    }
}
