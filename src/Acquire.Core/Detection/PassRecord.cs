namespace Acquire.Core.Detection;

/// <summary>What one pass of the test flame without a flash looked like in the detector.</summary>
/// <param name="Peak">Highest value above the quiet baseline, detector's unit.</param>
/// <param name="Width">Time above half of the peak, s.</param>
/// <param name="Smooth">Idle scatter of short means before the pass, detector's unit.</param>
/// <param name="Unexplained">Height of the strongest sudden part that noise does not explain, detector's unit; 0 where noise does.</param>
/// <param name="Linger">Height that was left a second after the flame had gone, detector's unit.</param>
/// <param name="Significance">How far the strongest sudden part stood out of noise and nuisance, standard deviations.</param>
public sealed record PassRecord(double Peak, double Width, double Smooth, double Unexplained, double Linger, double Significance)
{
    /// <summary>Whether the pass could be seen at all.</summary>
    public bool Visible => Peak > 5 * Smooth;
}
