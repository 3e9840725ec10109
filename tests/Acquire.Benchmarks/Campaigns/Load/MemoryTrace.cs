using System.Diagnostics;
using System.Globalization;

namespace Acquire.Benchmarks.Campaigns.Load;

/// <summary>What the service held, second by second, as <see cref="StartupHook"/> wrote it.</summary>
internal sealed class MemoryTrace
{
    private const double SecondsAfterCollection = 60;

    private readonly (double At, double WorkingSet, double Held, double Cpu, double Allocated, double Pause)[] _points;

    private MemoryTrace((double At, double WorkingSet, double Held, double Cpu, double Allocated, double Pause)[] points) => _points = points;

    /// <summary>Reads the part between two moments.</summary>
    public static MemoryTrace Read(string path, long from, long to)
    {
        using var file = new StreamReader(new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite));
        var lines = file.ReadToEnd().Split('\n')[..^1].Select(line => line.Split(' ').Select(word => long.Parse(word, CultureInfo.InvariantCulture)).ToArray());
        return new([.. lines.Where(numbers => numbers[0] >= from && numbers[0] <= to).Select(numbers =>
            ((numbers[0] - from) / (double)Stopwatch.Frequency, numbers[1] / 1e6, numbers[2] / 1e6, numbers[3] / 1e7, numbers[4] / 1e6, numbers[5] / 1e7))]);
    }

    /// <summary>Has the service collect all garbage, and waits until it has.</summary>
    public static async Task CollectAsync(string path)
    {
        await File.WriteAllTextAsync(path + StartupHook.CollectSuffix, "");
        while (File.Exists(path + StartupHook.CollectSuffix))
        {
            await Task.Delay(TimeSpan.FromMilliseconds(50), TimeProvider.System);
        }

        // The next line of the file tells it.
        await Task.Delay(TimeSpan.FromSeconds(1.5), TimeProvider.System);
    }

    /// <summary>Part of one processor that the service used.</summary>
    public double Processors => PerSecond(point => point.Cpu);

    /// <summary>Megabytes a second that were allocated.</summary>
    public double AllocatedMegabytesPerSecond => PerSecond(point => point.Allocated);

    /// <summary>Part of the time in which everything stood still for the garbage collection.</summary>
    public double PausedFraction => PerSecond(point => point.Pause);

    /// <summary>Working set in MB: first and last tenth, highest, and slope a minute. What was given back by a whole collection comes again within the minute after it, which is left out.</summary>
    public Course WorkingSet => CourseOf([.. _points.Where(point => point.At >= SecondsAfterCollection)], point => point.WorkingSet);

    /// <summary>What was held after all garbage was collected, at the beginning and at the end, MB.</summary>
    public Course Held
    {
        get
        {
            var collected = _points.Where(point => point.Held > 0).DistinctBy(point => point.Held).ToArray();
            return collected.Length < 2
                ? new(0, 0, 0, double.NaN)
                : new(collected[0].Held, collected[^1].Held, collected.Max(point => point.Held), (collected[^1].Held - collected[0].Held) / (collected[^1].At - collected[0].At) * 60);
        }
    }

    private double PerSecond(Func<(double At, double WorkingSet, double Held, double Cpu, double Allocated, double Pause), double> value) =>
        _points.Length < 2 ? 0 : (value(_points[^1]) - value(_points[0])) / (_points[^1].At - _points[0].At);

    private static Course CourseOf((double At, double WorkingSet, double Held, double Cpu, double Allocated, double Pause)[] points, Func<(double At, double WorkingSet, double Held, double Cpu, double Allocated, double Pause), double> value)
    {
        if (points.Length < 2)
        {
            return new(0, 0, 0, 0);
        }

        var part = Math.Max(1, points.Length / 10);
        var (meanAt, mean) = (points.Average(point => point.At), points.Average(value));
        var slope = points.Sum(point => (point.At - meanAt) * (value(point) - mean)) / points.Sum(point => (point.At - meanAt) * (point.At - meanAt));
        return new(points[..part].Average(value), points[^part..].Average(value), points.Max(value), slope * 60);
    }

    /// <summary>How a figure went.</summary>
    /// <param name="First">Mean of the first tenth.</param>
    /// <param name="Last">Mean of the last tenth.</param>
    /// <param name="Highest">Highest.</param>
    /// <param name="SlopePerMinute">Slope of the line through all points, a minute.</param>
    internal sealed record Course(double First, double Last, double Highest, double SlopePerMinute);
}
