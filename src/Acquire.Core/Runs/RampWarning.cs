using Acquire.Core.Alarms;
using Acquire.Core.Detection;
using Acquire.Core.Methods;

namespace Acquire.Core.Runs;

/// <summary>Calls a person before the mean rate that goes on record has left its band: by the rate of the last seconds, and by where it is going.</summary>
internal static class RampWarning
{
    // Rates this many of their own standard uncertainties outside are outside.
    private const double Deviations = 2.5;

    // A growth of the rate this many standard uncertainties above none is no chance: one false alarm in some hours of steady heating.
    private const double GrowthDeviations = 4.25;

    // So far ahead a heater can still be turned down in time.
    private const double AheadSeconds = 12;

    /// <summary>Raises and clears the alarms about the rate.</summary>
    /// <param name="bench">The run.</param>
    /// <param name="band">The band that holds now.</param>
    /// <param name="since">Readings before this time belong to another band, s.</param>
    /// <param name="bothSides">Whether the lower end is judged too.</param>
    public static void Warn(in Bench bench, RateBand band, double since, bool bothSides)
    {
        var ramp = bench.State.Ramp;
        if (bench.Plan.Mode == RunMode.Driven && !bench.State.HeaterIsOn)
        {
            // Nobody is to do anything about the rate of a cup that is not heated; why it is not is told by an alarm of its own.
            bench.Clear(AlarmCodes.HeatingTooFast);
            bench.Clear(AlarmCodes.HeatingTooSlow);
            return;
        }

        if (ramp.Fit(RampEstimator.WarningWindowSeconds, since) is not { } line)
        {
            return;
        }

        var rate = line.SlopePerSecond * 60;
        var tolerance = bench.Rules.Judgement.RateToleranceCelsiusPerMinute;
        var margin = Math.Max(tolerance, Deviations * line.SlopeUncertaintyPerSecond * 60);
        var projected = Projected(ramp, line, since) is { } ahead && ahead > band.To + tolerance && rate > (band.From + band.To) / 2 ? ahead : (double?)null;
        if (rate > band.To + margin)
        {
            bench.Alarm(AlarmCodes.HeatingTooFast, $"Heating too fast: {Text.Rate(rate)}, the band ends at {Text.Rate(band.To)}. {Advice(bench, "Reduce heat.")}");
        }
        else if (projected is { } expected)
        {
            bench.Alarm(AlarmCodes.HeatingTooFast, $"Heating is getting too fast: {Text.Rate(rate)} and rising, {Text.Rate(expected)} to be expected in {Text.Seconds(AheadSeconds)}; the band ends at {Text.Rate(band.To)}. {Advice(bench, "Reduce heat now.")}");
        }
        else if (rate < band.To)
        {
            bench.Clear(AlarmCodes.HeatingTooFast);
        }

        if (bothSides && rate < band.From - margin)
        {
            bench.Alarm(AlarmCodes.HeatingTooSlow, $"Heating too slow: {Text.Rate(rate)}, the band begins at {Text.Rate(band.From)}. {Advice(bench, "Add heat.")}");
        }
        else if (rate > band.From)
        {
            bench.Clear(AlarmCodes.HeatingTooSlow);
        }
    }

    private static string Advice(in Bench bench, string byHand) =>
        bench.Plan.Mode == RunMode.Driven ? "The service regulates the heater of this tester by itself: look at the tester, its heater, cup and thermometer." : byHand;

    // The rate some seconds ahead if it goes on growing as it did from one window to the next; null where it does not certainly grow. °C/min.
    private static double? Projected(RampEstimator ramp, LineFit recent, double since)
    {
        var newest = ramp.NewestSeconds;
        var turn = newest - RampEstimator.WarningWindowSeconds;
        if (ramp.Between(turn - RampEstimator.WarningWindowSeconds, turn) is not { } before || before.CentreSeconds - (before.SpanSeconds / 2) < since)
        {
            return null;
        }

        var rise = recent.SlopePerSecond - before.SlopePerSecond;
        var uncertainty = Math.Sqrt((recent.SlopeUncertaintyPerSecond * recent.SlopeUncertaintyPerSecond) + (before.SlopeUncertaintyPerSecond * before.SlopeUncertaintyPerSecond));
        if (rise <= GrowthDeviations * uncertainty)
        {
            return null;
        }

        var growth = rise / (recent.CentreSeconds - before.CentreSeconds);
        return (recent.SlopePerSecond + (growth * (newest + AheadSeconds - recent.CentreSeconds))) * 60;
    }
}
