using System.Diagnostics;

namespace Acquire.Benchmarks.Campaigns.Archive;

/// <summary>Times something several times; the shortest is what it takes where nobody else wants the machine.</summary>
internal static class Best
{
    /// <summary>Shortest and middle time, s.</summary>
    public static (double Shortest, double Middle) Of(int times, Action once)
    {
        var taken = new double[times];
        for (var i = 0; i < times; i++)
        {
            var from = Stopwatch.GetTimestamp();
            once();
            taken[i] = Stopwatch.GetElapsedTime(from).TotalSeconds;
        }

        Array.Sort(taken);
        return (taken[0], taken[times / 2]);
    }
}
