namespace Acquire.Core.Detection;

/// <summary>The hum of the mains as it stood in a quiet stretch of readings that came unevenly: it can be carried on to readings a little later, and taken off them.</summary>
/// <param name="Hertz">Its own frequency, not what the readings fold it to, Hz; 49 to 121.</param>
/// <param name="InPhase">Amplitude of the cosine at the stretch's beginning, detector's unit.</param>
/// <param name="Across">Amplitude of the sine there, detector's unit.</param>
/// <param name="FromSeconds">First reading of the stretch, s.</param>
/// <param name="UntilSeconds">Last one, s.</param>
/// <param name="Readings">How many it held.</param>
public readonly record struct HumWave(double Hertz, double InPhase, double Across, double FromSeconds, double UntilSeconds, int Readings)
{
    // The phase of a frequency known to some thousandths of a hertz holds for so long after the stretch, and for no longer than the stretch lasted, s.
    private const double HoldsSeconds = 6;

    /// <summary>Its value, detector's unit.</summary>
    /// <param name="seconds">Time, s; from the stretch on, and not long after it.</param>
    public double At(double seconds)
    {
        var (sine, cosine) = Math.SinCos(2 * Math.PI * Hertz * (seconds - FromSeconds));
        return (InPhase * cosine) + (Across * sine);
    }

    /// <summary>Takes it off readings and out of their noise, where its phase is known from the first to the last of them.</summary>
    /// <param name="wave">The hum; null where there is none, or it is not known by its phase.</param>
    /// <param name="readings">The readings.</param>
    /// <param name="until">What comes later counts no more, s.</param>
    /// <param name="noise">Their noise; where the hum was taken off, without it, and with what its phase may be off by.</param>
    internal static DetectorStretch TakeOff(HumWave? wave, DetectorStretch readings, double until, scoped ref NoiseSpectrum? noise)
    {
        if (wave is not { } hum || noise is not { HumByTimes: true } || readings.Times.IsEmpty || !hum.Holds(readings.Times[0], Math.Min(until, readings.Times[^1])))
        {
            return readings;
        }

        noise = noise with { Hum = 0, White = noise.White * (1 + hum.LeftOver(Math.Min(until, readings.Times[^1]))) };
        var values = WindowRoom.Take(readings.Values.Length);
        readings.Values.CopyTo(values);
        hum.Subtract(readings.Times, values);
        return readings with { Values = values };
    }

    /// <summary>Takes it off values, where its phase is known.</summary>
    /// <param name="times">Times, s.</param>
    /// <param name="values">As many values, detector's unit.</param>
    internal void TakeOff(ReadOnlySpan<double> times, Span<double> values)
    {
        if (times.Length > 0 && Holds(times[0], times[^1]))
        {
            Subtract(times, values);
        }
    }

    private bool Holds(double first, double last) => first >= FromSeconds && last <= UntilSeconds + Math.Min(HoldsSeconds, UntilSeconds - FromSeconds);

    // Variance of what it may be off by, in units of the noise of a reading: a sinusoid of unknown amplitude, phase and frequency fitted to N readings over T,
    // carried on to a time t from their middle, is off by (2 + 12 t²/T²)/N in the mean (bounds of Rife and Boorstyn, IEEE Transactions on Information Theory 20 (1974), 591).
    private double LeftOver(double seconds)
    {
        var (lasts, away) = (UntilSeconds - FromSeconds, seconds - (0.5 * (FromSeconds + UntilSeconds)));
        return (2 + (12 * away * away / (lasts * lasts))) / Readings;
    }

    private void Subtract(ReadOnlySpan<double> times, Span<double> values)
    {
        for (var i = 0; i < values.Length; i++)
        {
            values[i] -= At(times[i]);
        }
    }
}
