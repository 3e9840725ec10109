namespace Acquire.Core.Thermometry;

/// <summary>What a certificate says about a reading.</summary>
/// <param name="CorrectionCelsius">To be added to the reading, °C.</param>
/// <param name="ExpandedUncertaintyCelsius">Expanded uncertainty of the correction with the certificate's coverage factor, °C.</param>
/// <param name="Outside">Whether the reading lies beyond the calibrated span: the correction is then that of the nearest point, and its uncertainty does not cover the rest.</param>
public readonly record struct CalibrationAnswer(double CorrectionCelsius, double ExpandedUncertaintyCelsius, bool Outside);
