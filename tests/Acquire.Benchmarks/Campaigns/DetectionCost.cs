using System.Globalization;

namespace Acquire.Benchmarks.Campaigns;

/// <summary>What detection and ramp cost in processor time, which other work on the machine hardly changes.</summary>
internal static class DetectionCost
{
    private const string Usage = "usage: detection-cost [ROWS_PER_SECOND ...], each from 8 to 500; 10 50 200 500 where none is given";

    // By then the compiler is done with the code: it waits for calls, and for time. Its own work counts as processor time, too.
    private const int WarmReadings = 600_000;
    private static readonly TimeSpan Warm = TimeSpan.FromSeconds(2);

    // What else the machine does makes all runs together dearer, never cheaper; the two cheapest may owe something to a coarse clock.
    private const int Times = 100;
    private const int Taken = 2;

    // These take several times as long.
    private const int ScatteredTimes = 30;

    /// <summary>Runs the command.</summary>
    /// <param name="args">What follows its word: rows a second.</param>
    /// <returns>Exit code: 0, or 2 where something is wrong with the arguments.</returns>
    public static int Run(string[] args)
    {
        var rates = new List<double>();
        foreach (var arg in args)
        {
            if (!double.TryParse(arg, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var rate) || rate is not (>= 8 and <= 500))
            {
                Console.Error.WriteLine($"'{arg}' is no number of rows a second from 8 to 500. {Usage}");
                return 2;
            }

            rates.Add(rate);
        }

        Print(Console.Out, rates.Count > 0 ? rates : [10, 50, 200, 500]);
        return 0;
    }

    // Processor time and memory a row, in the steady state of runs; the third least of a hundred. A row holds a reading of the thermometer, one of the flame's position and one of each detector.
    private static void Print(TextWriter to, IEnumerable<double> rates)
    {
        to.WriteLine("| rows a second | detection, ns a row | ramp and warning, ns a row | whole, ns a row | whole, ns a reading | whole, bytes a row | with a second detector, ns a row | ns a reading | times scattered over 0.9 of the spacing, ns a row | ns a reading | bytes a row |");
        to.WriteLine("| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |");
        foreach (var rate in rates)
        {
            var (detection, _) = Measure(new(rate), play => play.Detect());
            var (ramp, _) = Measure(new(rate), play => play.Ramp());
            var (whole, bytes) = Measure(new(rate), play => play.Whole());
            var (two, _) = Measure(new(rate, two: true), play => play.Whole());
            var (scattered, scatteredBytes) = Measure(new(rate, timeScatter: 0.9), play => play.Whole(), ScatteredTimes);
            to.WriteLine(string.Create(CultureInfo.InvariantCulture, $"| {rate} | {detection:F0} | {ramp:F0} | {whole:F0} | {whole / 3:F0} | {bytes:F1} | {two:F0} | {two / 4:F0} | {scattered:F0} | {scattered / 3:F0} | {scatteredBytes:F1} |"));
        }
    }

    private static (double Nanoseconds, double Bytes) Measure(CostPlay play, Func<CostPlay, int> one, int times = Times)
    {
        var (loop, _) = Time(play, bare => bare.Read() > 0 ? 1 : 0, times);
        var (whole, bytes) = Time(play, one, times);
        return (whole - loop, bytes);
    }

    // All runs that are drawn, again and again: their steady parts together.
    private static (double Nanoseconds, double Bytes) Time(CostPlay play, Func<CostPlay, int> one, int times)
    {
        var measured = new List<double>();
        double bytes = 0;
        var (begun, warmed) = (Environment.CpuUsage.TotalTime, 0L);
        while (measured.Count < times)
        {
            var (seen, rows, taken, passed) = (0, 0, 0L, TimeSpan.Zero);
            for (var run = 0; run < CostPlay.Runs; run++)
            {
                // The first row of a run makes it the one that is played.
                seen += one(play);
                var (from, count) = (play.SteadyFrom, play.Count);
                for (var i = 1; i < from; i++)
                {
                    seen += one(play);
                }

                var (memory, processor) = (GC.GetAllocatedBytesForCurrentThread(), Environment.CpuUsage.TotalTime);
                for (var i = from; i < count; i++)
                {
                    seen += one(play);
                }

                passed += Environment.CpuUsage.TotalTime - processor;
                taken += GC.GetAllocatedBytesForCurrentThread() - memory;
                (rows, warmed) = (rows + count - from, warmed + count);
            }

            GC.KeepAlive(seen);
            bytes = (double)taken / rows;
            if (warmed >= WarmReadings && Environment.CpuUsage.TotalTime - begun >= Warm)
            {
                measured.Add(passed.TotalNanoseconds / rows);
            }
        }

        measured.Sort();
        return (measured[Taken], bytes);
    }
}
