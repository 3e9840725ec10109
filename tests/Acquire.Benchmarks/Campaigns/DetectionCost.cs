using System.Globalization;

namespace Acquire.Benchmarks.Campaigns;

/// <summary>What detection and ramp cost a reading in processor time, which other work on the machine hardly changes.</summary>
internal static class DetectionCost
{
    private const string Usage = "usage: detection-cost [READINGS_PER_SECOND ...], each from 8 to 500; 10 50 200 500 where none is given";

    // By then the compiler is done with the code: it waits for calls, and for time. Its own work counts as processor time, too.
    private const int WarmReadings = 600_000;
    private static readonly TimeSpan Warm = TimeSpan.FromSeconds(2);

    // What else the machine does makes a run dearer, never cheaper; the two cheapest may owe something to a coarse clock.
    private const int Runs = 100;
    private const int Taken = 2;

    /// <summary>Runs the command.</summary>
    /// <param name="args">What follows its word: readings a second.</param>
    /// <returns>Exit code: 0, or 2 where something is wrong with the arguments.</returns>
    public static int Run(string[] args)
    {
        var rates = new List<double>();
        foreach (var arg in args)
        {
            if (!double.TryParse(arg, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var rate) || rate is not (>= 8 and <= 500))
            {
                Console.Error.WriteLine($"'{arg}' is no number of readings a second from 8 to 500. {Usage}");
                return 2;
            }

            rates.Add(rate);
        }

        Print(Console.Out, rates.Count > 0 ? rates : [10, 50, 200, 500]);
        return 0;
    }

    // Processor time and memory a reading, in the steady state of a run; the third least of a hundred runs.
    private static void Print(TextWriter to, IEnumerable<double> rates)
    {
        to.WriteLine("| readings a second | detection, ns | ramp and warning, ns | whole, ns | whole, bytes |");
        to.WriteLine("| --- | --- | --- | --- | --- |");
        foreach (var rate in rates)
        {
            var (detection, _) = Measure(rate, play => play.Detect());
            var (ramp, _) = Measure(rate, play => play.Ramp());
            var (whole, bytes) = Measure(rate, play => play.Whole());
            to.WriteLine(string.Create(CultureInfo.InvariantCulture, $"| {rate} | {detection:F0} | {ramp:F0} | {whole:F0} | {bytes:F1} |"));
        }
    }

    private static (double Nanoseconds, double Bytes) Measure(double rate, Func<CostPlay, int> one)
    {
        var play = new CostPlay(rate);
        var (loop, _) = Time(play, bare => bare.Read() > 0 ? 1 : 0);
        var (whole, bytes) = Time(play, one);
        return (whole - loop, bytes);
    }

    private static (double Nanoseconds, double Bytes) Time(CostPlay play, Func<CostPlay, int> one)
    {
        var times = new List<double>();
        double bytes = 0;
        var (from, begun) = (play.SteadyFrom, Environment.CpuUsage.TotalTime);
        for (var run = 0; times.Count < Runs; run++)
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
