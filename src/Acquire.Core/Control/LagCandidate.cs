using System.Text.Json.Serialization;

namespace Acquire.Core.Control;

/// <summary>One guess at the lags between the heater's command and the thermometer, with what it makes of the heating so far.</summary>
/// <remarks>
/// Rate = gain × command behind a dead time and two lags − loss × loss shape + what is left over. Gain and loss are fitted by
/// recursive least squares whose parameters wander, that is a Kalman filter (Åström and Wittenmark, Adaptive Control, chapter 2).
/// The remainder and its growth per °C are followed by a filter of their own, faster, and carried on into the future: that is the
/// feedback. Belongs to <see cref="RampState"/>; one step a second.
/// </remarks>
internal sealed class LagCandidate
{
    // How well the model can foretell a rate at its best: a part of the target and a floor, °C/s. Neighbouring seconds share
    // their errors through the rate filter, so each counts for less; all chosen on simulated cups, no source.
    private const double SigmaShare = 0.05, SigmaFloor = 0.0008, SharedErrors = 4;

    // Wander of gain and loss in one second, relative; memory of the misfit, s; gains of the filter for the remainder.
    private const double GainWander = 0.002, LossWander = 0.003, MisfitSeconds = 200, LevelGain = 0.3, TrendGain = 0.015;

    // Extra growth of the loss beyond its shape, relative.
    private const double MostExtraGrowth = 0.5;

    // While the gain is known worse than this the controller takes it for higher than it is, so that it heats too little, not too much.
    private const double KnownWell = 0.1, Caution = 2;

    private const double LeastGain = 0.005, MostGain = 20, MostLoss = 0.01;

    /// <summary>Dead time, s; at most <see cref="RampState.Remembered"/> − 1.</summary>
    [JsonInclude]
    public int DeadSeconds { get; init; }

    /// <summary>The longer lag: heat from the metal into the test portion, s.</summary>
    [JsonInclude]
    public double LongLagSeconds { get; init; }

    /// <summary>The shorter lag: element, plate and thermometer together, s. Never equal to the longer one.</summary>
    [JsonInclude]
    public double ShortLagSeconds { get; init; }

    /// <summary>Rate at a command of 1 without loss, °C/s.</summary>
    [JsonInclude]
    public double Gain { get; set; }

    /// <summary>Loss at 1 °C of loss shape, 1/s.</summary>
    [JsonInclude]
    public double Loss { get; set; }

    /// <summary>Variance of the gain, (°C/s)².</summary>
    [JsonInclude]
    public double GainVariance { get; set; }

    /// <summary>Variance of the loss, 1/s².</summary>
    [JsonInclude]
    public double LossVariance { get; set; }

    /// <summary>Mean square by which the rate was foretold wrongly, (°C/s)².</summary>
    [JsonInclude]
    public double Misfit { get; set; }

    [JsonInclude]
    private double _covariance, _long, _short, _longNow, _shortNow, _seenFirst, _seen;

    [JsonInclude]
    private double _remainder = double.NaN, _extraGrowth, _shapeBefore;

    // Of two lags in a row, the part of the slower one's step that the faster one passes on.
    private double Carried => LongLagSeconds / (LongLagSeconds - ShortLagSeconds);

    private double CarefulGain => Gain + (Caution * Math.Max(0, Math.Sqrt(GainVariance) - (KnownWell * Gain)));

    /// <summary>A second went by with these commands: the newest, and the one that now arrives.</summary>
    public void Heat(double newest, double arriving)
    {
        var slow = 1 - Math.Exp(-1 / LongLagSeconds);
        var quick = 1 - Math.Exp(-1 / ShortLagSeconds);
        _long += slow * (arriving - _long);
        _short += quick * (_long - _short);
        _longNow += slow * (newest - _longNow);
        _shortNow += quick * (_longNow - _shortNow);
        _seenFirst += RateFilter.Share * (_short - _seenFirst);
        _seen += RateFilter.Share * (_seenFirst - _seen);
    }

    /// <summary>Compares what was seen with what this candidate foretold, and learns from the difference.</summary>
    public void Learn(in SeenHeating seen)
    {
        var error = seen.RatePerSecond - ((Gain * _seen) - (Loss * seen.LossShape));
        Misfit += ((error * error) - Misfit) / MisfitSeconds;
        Fit(error, seen);
        Follow(seen);
    }

    private void Fit(double error, in SeenHeating seen)
    {
        var sigma = (SigmaFloor + (SigmaShare * seen.TargetPerSecond)) * SharedErrors;
        GainVariance += GainWander * GainWander * Gain * Gain;
        LossVariance += LossWander * LossWander * Loss * Loss;
        var gain = (GainVariance * _seen) - (_covariance * seen.LossShape);
        var loss = (_covariance * _seen) - (LossVariance * seen.LossShape);
        var total = (_seen * gain) - (seen.LossShape * loss) + (sigma * sigma);
        Gain = Math.Clamp(Gain + (gain / total * error), LeastGain, MostGain);
        Loss = Math.Clamp(Loss + (loss / total * error), 0, MostLoss);
        GainVariance -= gain * gain / total;
        LossVariance -= loss * loss / total;
        _covariance -= gain * loss / total;
    }

    private void Follow(in SeenHeating seen)
    {
        var now = seen.RatePerSecond - (CarefulGain * _seen);
        if (double.IsNaN(_remainder))
        {
            _remainder = now;
            _shapeBefore = seen.LossShape;
        }

        var foretold = _remainder - (Loss * (seen.LossShape - _shapeBefore)) + (_extraGrowth * Math.Max(0, seen.RatePerSecond));
        var surprise = now - foretold;
        var most = MostExtraGrowth * Loss * seen.LossGrowth;
        _remainder = foretold + (LevelGain * surprise);
        _extraGrowth = Math.Clamp(_extraGrowth + (TrendGain * surprise / Math.Max(seen.RatePerSecond, 0.3 * seen.TargetPerSecond)), -most, most);
        _shapeBefore = seen.LossShape;
    }

    /// <summary>How far ahead this candidate can bring about a rate, counted from the end of the dead time, s: the lags, the longer one in part, and a reserve.</summary>
    public double HorizonSeconds => (0.3 * LongLagSeconds) + ShortLagSeconds + 5;

    /// <summary>The command that brings about the wanted rate at the wanted time, if from then on it grows only with the loss. Any number.</summary>
    public double Command(in WantedHeating wanted)
    {
        var gain = CarefulGain;
        var left = Math.Exp(-wanted.HorizonSeconds / LongLagSeconds);
        var leftShort = Math.Exp(-wanted.HorizonSeconds / ShortLagSeconds);
        var carried = Carried * (left - leftShort);
        var free = (_shortNow * leftShort) + (_longNow * carried);
        var share = 1 - leftShort - carried;
        var passed = ShortLagSeconds * (1 - leftShort);
        var rampShare = wanted.HorizonSeconds - passed - (Carried * ((LongLagSeconds * (1 - left)) - passed));
        var slope = ((Loss * wanted.LossGrowth) - _extraGrowth) * wanted.MeanRatePerSecond / gain;
        var remainder = _remainder - (Loss * (wanted.LossShape - _shapeBefore)) + (_extraGrowth * wanted.RiseCelsius);
        return (((wanted.RatePerSecond - remainder) / gain) - free - (slope * rampShare)) / share;
    }

    /// <summary>The heater was off for a long time and nothing was read: the heat under way is gone, what was learnt stays.</summary>
    public void Rest(double seconds)
    {
        var left = Math.Exp(-seconds / (LongLagSeconds + ShortLagSeconds));
        _long *= left;
        _short *= left;
        _longNow *= left;
        _shortNow *= left;
        _seenFirst *= left;
        _seen *= left;
        _remainder = double.NaN;
        _extraGrowth = 0;
    }
}
