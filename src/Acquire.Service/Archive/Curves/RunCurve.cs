namespace Acquire.Service.Archive.Curves;

/// <summary>A fact on a curve, at its own time.</summary>
/// <param name="Sequence">Which of the run's facts, from 0.</param>
/// <param name="AtSeconds">When, s on the run's axis.</param>
/// <param name="Kind">What, as the archive's word.</param>
public sealed record CurveMark(long Sequence, double AtSeconds, string Kind);

/// <summary>A whole run's curve in as many stretches of time as were asked for: the lowest and the highest reading of each, so that nothing that was seen is averaged away; and every fact.</summary>
/// <param name="FromSeconds">Where the first stretch begins, s on the run's axis.</param>
/// <param name="StretchSeconds">Length of a stretch, s.</param>
/// <param name="Rows">Readings in all of it.</param>
/// <param name="TemperatureLow">Lowest sound temperature of each stretch, °C; null where there was none.</param>
/// <param name="TemperatureHigh">Highest.</param>
/// <param name="DetectorLow">Lowest value of the detector, in its own unit; null where there was none.</param>
/// <param name="DetectorHigh">Highest.</param>
/// <param name="Flame">Whether the test flame was over the cup at any reading of the stretch.</param>
/// <param name="Events">Every fact of the run, in order.</param>
public sealed record RunCurve(
    double FromSeconds,
    double StretchSeconds,
    long Rows,
    IReadOnlyList<double?> TemperatureLow,
    IReadOnlyList<double?> TemperatureHigh,
    IReadOnlyList<double?> DetectorLow,
    IReadOnlyList<double?> DetectorHigh,
    IReadOnlyList<bool> Flame,
    IReadOnlyList<CurveMark> Events)
{
    /// <summary>Lowest value of the second detector, in its own unit; the whole column is null where no reading has one.</summary>
    public IReadOnlyList<double?>? SecondDetectorLow { get; init; }

    /// <summary>Highest value of the second detector; null where <see cref="SecondDetectorLow"/> is.</summary>
    public IReadOnlyList<double?>? SecondDetectorHigh { get; init; }
}
