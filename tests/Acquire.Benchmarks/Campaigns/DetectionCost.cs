using System.Globalization;

namespace Acquire.Benchmarks.Campaigns;

/// <summary>What detection and ramp cost in processor time, which other work on the machine hardly changes.</summary>
internal static class DetectionCost
{
    private const string Usage = "usage: detection-cost [ROWS_PER_SECOND ...], each from 8 to 500; 10 50 200 500 where none is given";

    // By then the compiler is done with the code: it waits for calls, and for time. Its own work counts as processor time, too.
    private const int WarmReadings = 600_000;
    private static readonly TimeSpan Warm = TimeSpan.FromSeconds(2);

    // What else the machine does makes a run dearer, never cheaper; the two cheapest may owe something to a coarse clock.
    private const int Runs = 100;
    private const int Taken = 2;

    // These take fifty times as long.
    private const int ScatteredRuns = 15;

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

    // Processor time and memory a row, in the steady state of a run; the third least of a hundred runs. A row holds a reading of the thermometer and one of each detector.
    private static void Print(TextWriter to, IEnumerable<double> rates)
    {
        to.WriteLine("| rows a second | detection, ns a row | ramp and warning, ns a row | whole, ns a row | whole, ns a reading | whole, bytes a row | with a second detector, ns a row | ns a reading | times scattered over 0.9 of the spacing, ns a row | bytes a row |");
        to.WriteLine("| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |");
        foreach (var rate in rates)
        {
            var (detection, _) = Measure(new(rate), play => play.Detect());
            var (ramp, _) = Measure(new(rate), play => play.Ramp());
            var (whole, bytes) = Measure(new(rate), play => play.Whole());
            var (two, _) = Measure(new(rate, two: true), play => play.Whole());
            var (scattered, scatteredBytes) = Measure(new(rate, timeScatter: 0.9), play => play.Whole(), ScatteredRuns);
            to.WriteLine(string.Create(CultureInfo.InvariantCulture, $"| {rate} | {detection:F0} | {ramp:F0} | {whole:F0} | {whole / 2:F0} | {bytes:F1} | {two:F0} | {two / 3:F0} | {scattered:F0} | {scatteredBytes:F0} |"));
        }
    }

    private static (double Nanoseconds, double Bytes) Measure(CostPlay play, Func<CostPlay, int> one, int runs = Runs)
    {
        var (loop, _) = Time(play, bare => bare.Read() > 0 ? 1 : 0, runs);
        var (whole, bytes) = Time(play, one, runs);
        return (whole - loop, bytes);
    }

    private static (double Nanoseconds, double Bytes) Time(CostPlay play, Func<CostPlay, int> one, int runs)
    {
        var times = new List<double>();
        double bytes = 0;
        var (from, begun) = (play.SteadyFrom, Environment.CpuUsage.TotalTime);
        for (var run = 0; times.Count < runs; run++)
        {
            var seen = 0;
            for (var i = 0; i < from; i++)
            {
                seen += one(play);
            }

            var (memory, processor) = (GC.GetAllocatedBytesForCurrentThread(), Environment.CpuUsage.TotalTime);
            for (var i = from; i < play.Count; i++)
            {
                seen += one(play);
            }

            var passed = Environment.CpuUsage.TotalTime - processor;
            bytes = (double)(GC.GetAllocatedBytesForCurrentThread() - memory) / (play.Count - from);
            GC.KeepAlive(seen);
            if (run * play.Count >= WarmReadings && processor - begun >= Warm)
            {
                times.Add(passed.TotalNanoseconds / (play.Count - from));
            }
        }

        times.Sort();
        return (times[Taken], bytes);
    }
}
