using System.Diagnostics;

namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>Tells on standard error how far a campaign is.</summary>
/// <param name="name">What is being played.</param>
/// <param name="total">How many in all.</param>
internal sealed class Progress(string name, int total)
{
    private const int TellEvery = 20;

    private readonly Stopwatch watch = Stopwatch.StartNew();
    private int done;

    /// <summary>One more is done; from any thread.</summary>
    public void Step()
    {
        var now = Interlocked.Increment(ref done);
        if (now == total || (now * TellEvery / total) != ((now - 1) * TellEvery / total))
        {
            Console.Error.WriteLine(FormattableString.Invariant($"{name}: {now} of {total}, {watch.Elapsed.TotalSeconds:0.0} s"));
        }
    }
}
