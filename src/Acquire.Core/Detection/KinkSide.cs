namespace Acquire.Core.Detection;

/// <summary>The kinks that lead towards one end of the band: the best of them, and the best that stays within the band.</summary>
internal struct KinkSide
{
    private readonly double _limit;
    private readonly int _side;
    private double _least = double.PositiveInfinity;

    /// <param name="fit">The line without a kink.</param>
    /// <param name="limitPerSecond">The end of the band, °C/s; infinite where it is not judged.</param>
    /// <param name="side">1: above the limit is outside; −1: below.</param>
    public KinkSide(in KinkFit fit, double limitPerSecond, int side)
    {
        (_limit, _side) = (limitPerSecond, side);
        LegalSquares = side * (fit.Slope - limitPerSecond) <= 0 ? fit.LineSquares : double.PositiveInfinity;
    }

    /// <summary>The kink that explains the points best.</summary>
    public KinkCandidate Best { get; private set; }

    /// <summary>Squares that are left where the rate stays within the band, °C².</summary>
    public double LegalSquares { get; private set; }

    /// <summary>Whether the rate behind the best kink is outside.</summary>
    public readonly bool IsOutside => _side * (Best.Slope - _limit) > 0 && double.IsFinite(_least);

    /// <summary>Takes the best line with a kink at one place.</summary>
    public void Take(in KinkCandidate candidate)
    {
        var excess = _side * (candidate.Slope - _limit);
        LegalSquares = Math.Min(LegalSquares, excess > 0 ? candidate.Squares + (excess * excess / candidate.SlopeFactor) : candidate.Squares);
        if (candidate.Squares < _least && _side * candidate.Turn > 0)
        {
            (_least, Best) = (candidate.Squares, candidate);
        }
    }
}
