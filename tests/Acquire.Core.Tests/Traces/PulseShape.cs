namespace Acquire.Core.Tests.Traces;

/// <summary>Time courses of light and warmth in a detector, of height 1.</summary>
internal enum PulseShape
{
    Gaussian,
    HalfSine,
    Rectangular,

    /// <summary>Rises at once and fades: a flash seen by a slow detector.</summary>
    Decay,
}

/// <summary>One pulse in a detector's signal.</summary>
/// <param name="Shape">Its course.</param>
/// <param name="Centre">Middle of the half-height width, s; for a decay a moment after the onset.</param>
/// <param name="Width">Width at half height, s.</param>
/// <param name="Height">Height, in the trace's own measure.</param>
internal readonly record struct BenchPulse(PulseShape Shape, double Centre, double Width, double Height)
{
    /// <summary>Nothing is left outside this time around the centre, s.</summary>
    public double Reach => (Shape == PulseShape.Decay ? 10 : 2) * Width;

    public double At(double seconds)
    {
        var t = (seconds - Centre) / Width;
        return Height * Shape switch
        {
            PulseShape.Gaussian => Math.Exp(-4 * Math.Log(2) * t * t),
            PulseShape.HalfSine => Math.Abs(t) < 0.75 ? Math.Cos(Math.PI * t / 1.5) : 0,
            PulseShape.Rectangular => Math.Abs(t) < 0.5 ? 1 : 0,
            _ => t < -0.5 ? 0 : Math.Exp(-Math.Log(2) * (t + 0.5)),
        };
    }
}
