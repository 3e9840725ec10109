using Acquire.Core.Alarms;
using Acquire.Core.Detection;
using Acquire.Core.Methods;

namespace Acquire.Core.Runs;

/// <summary>Calls a person before the mean rate that goes on record has left its band: by a turn of the rate, and by the rate over the last seconds.</summary>
internal static class RampWarning
{
    // A scheduled application that no signal tells of is made about when it is due; from so far before it on a flame may be there, °C.
    private const double ExpectedCelsius = 0.5;

    // How long a flame stays that no signal tells of, s.
    private const double UsualPassSeconds = 1;

    /// <summary>Raises and clears the alarms about the rate.</summary>
    /// <param name="bench">The run.</param>
    /// <param name="band">The band that holds now.</param>
    /// <param name="since">Readings before this time belong to another band, s.</param>
    /// <param name="bothSides">Whether the lower end is judged too.</param>
    public static void Warn(in Bench bench, RateBand band, double since, bool bothSides)
    {
        if (bench.Plan.Mode == RunMode.Driven && !bench.State.HeaterIsOn)
        {
            // Nobody is to do anything about the rate of a cup that is not heated; why it is not is told by an alarm of its own.
            bench.Clear(AlarmCodes.HeatingTooFast);
            bench.Clear(AlarmCodes.HeatingTooSlow);
            return;
        }

        var s = bench.State;
        var signal = s.RampLedger.Watch.Look(s.Ramp, since, bothSides ? band.From : double.NegativeInfinity, band.To, bench.Rules.Judgement.RateToleranceCelsiusPerMinute, FlameSeconds(bench));
        End(bench, signal is { } high && high.CelsiusPerMinute > band.To ? high : null, since, band.To, 1);
        End(bench, signal is { } low && low.CelsiusPerMinute < band.From ? low : null, since, band.From, -1);
    }

    private static void End(in Bench bench, RateSignal? signal, double since, double limit, int side)
    {
        var s = bench.State;
        var code = side > 0 ? AlarmCodes.HeatingTooFast : AlarmCodes.HeatingTooSlow;
        if (signal is { } outside)
        {
            if (!s.Alarms.Contains(code))
            {
                bench.Alarm(code, Sentence(bench, outside, limit, side));
            }
        }
        else if (s.Alarms.Contains(code) && s.RampLedger.Watch.IsBack(s.Ramp, since, limit, side))
        {
            bench.Clear(code);
        }
    }

    private static string Sentence(in Bench bench, RateSignal signal, double limit, int side)
    {
        var (word, end, byHand) = side > 0 ? ("fast", "ends", "Reduce heat.") : ("slow", "begins", "Add heat.");
        var advice = bench.Plan.Mode == RunMode.Driven ? "The service regulates the heater of this tester by itself: look at the tester, its heater, cup and thermometer." : byHand;
        return signal.TurnedSeconds is { } ago
            ? $"Heating is getting too {word}: the rate turned to about {Text.Rate(signal.CelsiusPerMinute)} {Text.Seconds(ago)} ago, the band {end} at {Text.Rate(limit)}. {advice}"
            : $"Heating too {word}: {Text.Rate(signal.CelsiusPerMinute)}, the band {end} at {Text.Rate(limit)}. {advice}";
    }

    // When a flame was over the cup last, or may have been, s: it warms the thermometer, which is no change of the rate.
    private static double FlameSeconds(in Bench bench)
    {
        var s = bench.State;
        var expected = !bench.Plan.HasFlameSignal && s.TemperatureCelsius >= s.Series.NextDueCelsius - ExpectedCelsius;
        if (s.FlameOver || s.Series.OpenNumber is not null || s.Watch.Looking || expected)
        {
            return s.Ramp.NewestSeconds;
        }

        return s.Series.Made is [.., var newest] ? newest.TimeSeconds + (newest.DurationSeconds ?? UsualPassSeconds) : double.NegativeInfinity;
    }
}
