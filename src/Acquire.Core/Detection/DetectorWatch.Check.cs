using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <content>Whether what it is shown can be trusted.</content>
public sealed partial class DetectorWatch
{
    [JsonInclude]
    private DetectorSurvey _survey = new();

    // What was learnt before a pass is the noise for so long; then, and before the first, the survey learns by itself, s.
    private const double SpectrumLastsSeconds = 60;

    [JsonInclude]
    private double _spectrumAt = double.NegativeInfinity;

    /// <summary>What the quiet detector says about the flashes that could be told; null before 5 s of quiet, and where a person judges.</summary>
    [JsonIgnore]
    public DetectorCheck? Check => _survey.Check is { } check && !EverMoved ? check with { Reasons = [DetectorReasons.Still, .. check.Reasons] } : _survey.Check;

    // Up to the flash: what the detector does once the specimen has burned says nothing about how the flash was found.
    private void Survey(double seconds, double leastSeconds)
    {
        var to = seconds - 0.1;
        if (_flashed || _stray.Suspects || to - _survey.UntilSeconds < leastSeconds)
        {
            return;
        }

        var from = Math.Max(Math.Max(seconds - IdleSeconds, _busyUntil), Math.Max(_survey.UntilSeconds, _history.OldestSeconds));
        if (to - from >= leastSeconds)
        {
            _survey.Take(_history, from, to, HalfCount, Memory, seconds - _spectrumAt < SpectrumLastsSeconds ? Spectrum.Spectrum : null);
        }
    }
}
