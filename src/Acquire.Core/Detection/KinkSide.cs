namespace Acquire.Core.Detection;

/// <summary>One end of the band, and what lies beyond it.</summary>
/// <param name="side">1: above the limit is outside; −1: below.</param>
/// <param name="limitPerSecond">The end of the band, °C/s; infinite where it is not judged.</param>
internal readonly struct KinkSide(int side, double limitPerSecond)
{
    /// <summary>By how much a rate is outside, °C/s; 0 or less where it is inside.</summary>
    public double Excess(double slope) => side * (slope - limitPerSecond);

    /// <summary>Squares that are left where the rate stays within the band, °C².</summary>
    /// <param name="fit">The fit.</param>
    /// <param name="sums">The points.</param>
    /// <param name="places">Places where the kink may lie.</param>
    public double LegalSquares(in KinkFit fit, RampSums sums, ReadOnlySpan<int> places)
    {
        var legal = Excess(fit.Slope) <= 0 ? fit.LineSquares : double.PositiveInfinity;
        foreach (var place in places)
        {
            var kink = fit.At(sums.Behind(place), sums.X(place));
            var excess = Excess(kink.Slope);
            legal = Math.Min(legal, excess > 0 ? kink.Squares + (excess * excess / kink.SlopeFactor) : kink.Squares);
        }

        return legal;
    }
}
