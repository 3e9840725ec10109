using Acquire.Core.Readings;

namespace Acquire.Core.Tests.Traces;

/// <summary>Makes the readings of a <see cref="BenchTrace"/>: ramp, applications, detector.</summary>
internal static class BenchRunMaker
{
    private const double Step = 0.05;

    public static BenchRun Make(BenchTrace trace)
    {
        var noise = new Noise(trace.Seed);
        var (ramp, passes) = Heat(trace, noise);
        var pulses = trace.Strays.Concat(passes.SelectMany(pass => Pulses(trace, pass, noise))).OrderBy(pulse => pulse.Centre - pulse.Reach).ToArray();
        return new BenchRun(trace, Read(trace, noise, ramp, passes, pulses), passes, passes.FirstOrDefault(pass => pass.Onset is not null), passes.FirstOrDefault(pass => pass.Burned >= trace.FireSeconds));
    }

    // Temperature every 50 ms and the applications on the way.
    private static (List<double> Ramp, List<BenchPass> Passes) Heat(BenchTrace trace, Noise noise)
    {
        var ramp = new List<double> { trace.StartCelsius };
        var passes = new List<BenchPass>();
        var first = trace.FirstApplicationCelsius ?? trace.ExpectedCelsius - trace.Rules.Applications.FirstBelowExpectedCelsius;
        int number = 0, flashes = 0;
        double due = first + trace.LateBy(0), end = double.PositiveInfinity, off = double.PositiveInfinity;
        for (var t = 0.0; t < end; t += Step)
        {
            var celsius = ramp[^1];
            if (celsius >= due && t < off)
            {
                if (!trace.LeftOut.Contains(number))
                {
                    var pass = Apply(trace, noise, t, number, celsius);
                    passes.Add(pass);
                    flashes += pass.Onset is null ? 0 : 1;
                    (off, end) = pass.Burned >= trace.FireSeconds || (trace.FireCelsius is null && flashes > trace.ApplicationsAfterFlash)
                        ? (t + 6, t + Math.Max(pass.Burned, 3) + trace.TailSeconds)
                        : (off, end);
                }

                number++;
                due = celsius + trace.Rules.Applications.IntervalCelsius + trace.LateBy(number);
            }

            end = celsius >= trace.HottestCelsius && double.IsInfinity(end) ? t + trace.TailSeconds : end;
            ramp.Add(celsius + (Step / 60 * (t < off ? trace.RateOf(celsius) : -4)));
        }

        return (ramp, passes);
    }

    private static BenchPass Apply(BenchTrace trace, Noise noise, double t, int number, double celsius)
    {
        var seconds = trace.PassSeconds(number);
        var fire = celsius >= trace.FireCelsius;
        if (celsius < trace.FlashCelsius || trace.FlashCelsius is null)
        {
            return new BenchPass(t, seconds, celsius, null, 0);
        }

        var toFire = trace.FireCelsius is { } at ? (int)Math.Ceiling((at - celsius) / trace.Rules.Applications.IntervalCelsius) : int.MaxValue;
        var burned = fire ? trace.FireSeconds : toFire <= trace.ShortBurns.Count && toFire > 0 ? trace.ShortBurns[^toFire] : 0;
        return new BenchPass(t, seconds, celsius, t + (Math.Min(seconds, 1) * noise.Between(0.25, 0.75)), burned);
    }

    private static IEnumerable<BenchPulse> Pulses(BenchTrace trace, BenchPass pass, Noise noise)
    {
        var middle = pass.Start + (pass.Seconds / 2) + (0.03 * noise.Normal());
        var width = trace.PassShape == PulseShape.Rectangular ? pass.Seconds : 0.6 * pass.Seconds;
        yield return new BenchPulse(trace.PassShape, middle, width, trace.PassHeight * noise.Between(0.9, 1.1));
        var halo = trace.FlashCelsius is { } flash ? Math.Clamp(1 - ((flash - pass.Celsius) / 10), 0, 1) : Math.Clamp(1 - ((trace.HottestCelsius - pass.Celsius) / 40), 0, 1);
        if (halo > 0)
        {
            yield return new BenchPulse(trace.HaloShape, middle, noise.Between(0.5, 0.8), trace.HaloHeight * halo * noise.Between(0.9, 1.1));
        }

        if (pass.Onset is { } onset)
        {
            yield return new BenchPulse(trace.FlashShape, onset + (trace.FlashWidth / 2), trace.FlashWidth, trace.FlashHeight);
            if (pass.Burned > 0)
            {
                yield return new BenchPulse(PulseShape.Rectangular, onset + (pass.Burned / 2), pass.Burned, trace.BurnHeight);
            }
        }
    }

    private static ReadingRow[] Read(BenchTrace trace, Noise noise, List<double> ramp, List<BenchPass> passes, BenchPulse[] pulses)
    {
        var rows = new List<ReadingRow>();
        var open = new List<BenchPulse>();
        var present = RowChannels.Temperature | RowChannels.Detector | (trace.HasFlame ? RowChannels.Flame : 0);
        var (next, pass, last) = (0, 0, (ramp.Count - 1) * Step);
        for (var t = 0.0; t < last; t += (trace.Uneven ? noise.Between(0.5, 1.5) : 1) / trace.PerSecond)
        {
            for (; next < pulses.Length && pulses[next].Centre - pulses[next].Reach <= t; next++)
            {
                open.Add(pulses[next]);
            }

            open.RemoveAll(pulse => pulse.Centre + pulse.Reach < t);
            var light = open.Sum(pulse => pulse.At(t) * Flicker(trace, pulse, t));
            var detector = trace.Offset + (trace.Unit * (light + (trace.Noise * noise.Normal()) + (0.3 * trace.Noise * Math.Sin(t / 40))));
            while (pass < passes.Count && passes[pass].Start + passes[pass].Seconds <= t)
            {
                pass++;
            }

            var celsius = ramp[(int)(t / Step)] + (trace.ThermometerNoise * noise.Normal());
            rows.Add(new ReadingRow(t, present, Math.Round(celsius / trace.ThermometerStep) * trace.ThermometerStep, detector, trace.HasFlame && pass < passes.Count && t >= passes[pass].Start));
        }

        return [.. rows];
    }

    // What burns for longer than a flash flickers at some 3 Hz.
    private static double Flicker(BenchTrace trace, BenchPulse pulse, double t) =>
        pulse.Height == trace.BurnHeight && pulse.Width > 1.5 ? 1 + (0.25 * Math.Sin(19 * t)) : 1;
}
