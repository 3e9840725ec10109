using Acquire.Core.Detection;

namespace Acquire.Core.Thermometry;

/// <summary>Adds to a reading what a first-order lag holds back: time constant times ramp rate.</summary>
/// <remarks>
/// The rate comes from a line through the last <see cref="RampEstimator.WarningWindowSeconds"/>, not from neighbouring readings,
/// whose noise the correction would multiply. It therefore follows a change of the ramp with some seconds of delay.
/// </remarks>
internal sealed class LagCorrection(double timeConstantSeconds)
{
    private RampEstimator _ramp = new();
    private double? _slopePerSecond;

    /// <summary>Corrects a reading; false, and the reading as it is, while too few came to know the rate.</summary>
    /// <param name="atSeconds">Its time, s; later than the one before.</param>
    /// <param name="celsius">Before the correction in, after it out, °C.</param>
    public bool TryCorrect(double atSeconds, ref double celsius)
    {
        if (_ramp.Add(atSeconds, celsius))
        {
            _slopePerSecond = _ramp.Fit(RampEstimator.WarningWindowSeconds, double.NegativeInfinity)?.SlopePerSecond;
        }

        celsius += timeConstantSeconds * (_slopePerSecond ?? 0);
        return _slopePerSecond is not null;
    }

    /// <summary>Forgets the ramp: what came before a step says nothing about what comes after it.</summary>
    public void Restart() => (_ramp, _slopePerSecond) = (new(), null);
}
