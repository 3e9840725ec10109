namespace Acquire.Core.Detection;

/// <summary>The hum of the mains as it stood in a quiet stretch of readings that came unevenly: it can be carried on to readings a little later, and taken off them.</summary>
/// <param name="Hertz">Its own frequency, not what the readings fold it to, Hz.</param>
/// <param name="InPhase">Amplitude of the cosine at the stretch's beginning, detector's unit.</param>
/// <param name="Across">Of the sine.</param>
/// <param name="FromSeconds">First reading of the stretch, s.</param>
/// <param name="UntilSeconds">Last one, s.</param>
public readonly record struct HumWave(double Hertz, double InPhase, double Across, double FromSeconds, double UntilSeconds)
{
    // The phase of a frequency known to some thousandths of a hertz holds for so long, s.
    private const double HoldsSeconds = 6;

    /// <summary>Its value, detector's unit.</summary>
    /// <param name="seconds">Time, s.</param>
    public double At(double seconds)
    {
        var (sine, cosine) = Math.SinCos(2 * Math.PI * Hertz * (seconds - FromSeconds));
        return (InPhase * cosine) + (Across * sine);
    }

    /// <summary>Takes it off readings and out of their noise, where its phase is known up to the last of them.</summary>
    /// <param name="wave">The hum; null where there is none, or it is not known by its phase.</param>
    /// <param name="readings">The readings.</param>
    /// <param name="noise">Their noise; without the hum where that was taken off.</param>
    internal static DetectorStretch TakeOff(HumWave? wave, DetectorStretch readings, scoped ref NoiseSpectrum? noise)
    {
        if (wave is not { } hum || noise is not { HumByTimes: true } || readings.Times.IsEmpty || readings.Times[0] < hum.FromSeconds || readings.Times[^1] > hum.UntilSeconds + HoldsSeconds)
        {
            return readings;
        }

        noise = noise with { Hum = 0 };
        var values = WindowRoom.Take(readings.Values.Length);
        for (var i = 0; i < values.Length; i++)
        {
            values[i] = readings.Values[i] - hum.At(readings.Times[i]);
        }

        return readings with { Values = values };
    }
}
