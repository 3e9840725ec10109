namespace Acquire.Core.Control;

/// <summary>The candidates that are tried side by side, from a light cup with a thin probe to a slow bath.</summary>
/// <remarks>Several models fitted in parallel, the best one used: multiple-model adaptive control, with hysteresis so that the choice does not chatter.</remarks>
internal static class LagBank
{
    // A candidate replaces the chosen one when its mean square error is below this part of the other's.
    private const double Hysteresis = 0.8;

    // Gain where nothing is known, °C/s: deliberately on the high side. Loss: that of a metal cup, 1/s. Uncertainties are relative.
    private const double UnknownGain = 2, UnknownLoss = 4e-4, UnknownUncertainty = 1, GivenUncertainty = 0.6, LossUncertainty = 0.7;

    // Where no lag is given, that of a metal cup with a common probe, s.
    private const double CommonLong = 70, CommonLag = 10, ElementLag = 10, CommonDead = 5;

    private static readonly double[] Longs = [15, 30, 50, 75, 105, 150, 220, 330];
    private static readonly double[] Shorts = [8, 20, 40];
    private static readonly int[] Deads = [4, 10];

    /// <summary>All candidates, each with the prior that the model gives.</summary>
    public static LagCandidate[] For(HeaterModel model)
    {
        double? given = model is { MaxPowerWatts: { } watts, ThermalCapacityJoulesPerKelvin: { } capacity } ? watts / capacity : null;
        var gain = given ?? UnknownGain;
        var gainDeviation = gain * (given is null ? UnknownUncertainty : GivenUncertainty);
        var loss = model is { LossWattsPerKelvin: { } perKelvin, ThermalCapacityJoulesPerKelvin: { } joules }
            ? perKelvin / joules / (LossShape.At(100) / 100)
            : UnknownLoss;
        return
        [
            .. from longLag in Longs
               from shortLag in Shorts
               from dead in Deads
               select new LagCandidate
               {
                   LongLagSeconds = longLag,
                   ShortLagSeconds = shortLag,
                   DeadSeconds = dead,
                   Gain = gain,
                   GainVariance = gainDeviation * gainDeviation,
                   Loss = loss,
                   LossVariance = LossUncertainty * LossUncertainty * loss * loss,
                   Misfit = 1e-6 * (0.2 + Distance(model, longLag, shortLag, dead)),
               },
        ];
    }

    /// <summary>The one to use now.</summary>
    /// <param name="candidates">All of them.</param>
    /// <param name="chosen">Index of the one used so far.</param>
    public static int Choose(LagCandidate[] candidates, int chosen)
    {
        var best = chosen;
        for (var i = 0; i < candidates.Length; i++)
        {
            best = candidates[i].Misfit < candidates[best].Misfit ? i : best;
        }

        return candidates[best].Misfit < Hysteresis * candidates[chosen].Misfit ? best : chosen;
    }

    // Until something has been read, the candidate nearest to what is given is used.
    private static double Distance(HeaterModel model, double longLag, double shortLag, int dead)
    {
        var longer = Math.Log(longLag / CommonLong);
        var shorter = Math.Log(shortLag / ((model.LagSeconds ?? CommonLag) + ElementLag));
        var late = (dead - (model.DeadTimeSeconds ?? CommonDead)) / 10;
        return (longer * longer) + (shorter * shorter) + (late * late);
    }
}
