using System.Globalization;
using System.Text;

namespace Acquire.Benchmarks.Campaigns.Load;

/// <summary>What came of a steady load.</summary>
/// <param name="Load">What it was.</param>
/// <param name="Sent">Messages published.</param>
/// <param name="Taken">Rows taken from the wire.</param>
/// <param name="Archived">Rows in the archive after all runs were closed.</param>
/// <param name="Malformed">Payloads refused.</param>
/// <param name="QueueFull">Times a source had to wait.</param>
/// <param name="Delays">From publishing to the live frame, after the warm-up, s, shortest first.</param>
/// <param name="FirstDelays">The same in the warm-up.</param>
/// <param name="Frames">Live frames that came.</param>
/// <param name="LatestSeconds">How late the publisher itself was at worst, s.</param>
/// <param name="Memory">What the service held in the last four fifths of the time.</param>
/// <param name="Busy">How busy the machine was at the end.</param>
/// <param name="Verified">What `archive verify` said.</param>
internal sealed record SteadyOutcome(
    SteadyLoad Load, long Sent, long Taken, long Archived, long Malformed, long QueueFull, double[] Delays, double[] FirstDelays, long Frames, double LatestSeconds, MemoryTrace Memory, string Busy, string Verified)
{
    // Of what is held, a minute.
    private const double FlatFraction = 0.01;

    // A slope over less says nothing.
    private const int LeastSeconds = 300;

    /// <summary>Whether nothing was lost and the frames came in time.</summary>
    public bool Good => Sent == Archived && Malformed == 0 && Quantile(Delays, 0.99) < 0.1;

    /// <summary>The report.</summary>
    public StringBuilder Report()
    {
        var (text, invariant) = (new StringBuilder(), CultureInfo.InvariantCulture);
        text.AppendLine(invariant, $"{LoadMachine.Text}. `load testers --testers {Load.Testers} --seconds {Load.Seconds} --followed {Load.Followed}{(Load.Embedded ? "" : " --broker mosquitto")}`: {Load.Testers} testers, each with its run open and {SteadyLoad.MessagesPerSecond} messages a second of three channels and a time, over {(Load.Embedded ? "the embedded broker" : "mosquitto")}; a reader follows the overview and {Load.Followed} runs. Before it {SteadyLoad.WarmUpSeconds} s of the same, which count for what is lost. {Busy}");
        text.AppendLine().AppendLine("| what | measured | goal | |").AppendLine("| --- | --- | --- | --- |");
        text.AppendLine(invariant, $"| messages published, rows in the archive | {Sent:#,0}, {Archived:#,0} | none lost | {Held(Sent == Archived && Malformed == 0)} |");
        text.AppendLine(invariant, $"| from publishing to the live frame: half, 99 %, longest | {Milliseconds(Delays)} | 99 % below 100 ms | {Held(Quantile(Delays, 0.99) < 0.1)} |");
        text.AppendLine(invariant, $"| the same in the {SteadyLoad.WarmUpSeconds} s before it, the service just started | {Milliseconds(FirstDelays)} | | |");
        Course(text, "working set, last four fifths of the time", Memory.WorkingSet);
        Course(text, "held after all garbage was collected, at a fifth of the time and at the end", Memory.Held);
        text.AppendLine(invariant, $"| rows taken, refused, times a source waited | {Taken:#,0}, {Malformed}, {QueueFull} | | |");
        text.AppendLine(invariant, $"| live frames | {Frames:#,0} | | |");
        text.AppendLine(invariant, $"| processor of the service | {100 * Memory.Processors:0} % of one core | | |");
        text.AppendLine(invariant, $"| allocated; stopped for collections | {Memory.AllocatedMegabytesPerSecond:0} MB/s; {100 * Memory.PausedFraction:0.0} % of the time | | |");
        text.AppendLine(invariant, $"| the publisher behind its own plan, at worst | {1000 * LatestSeconds:0} ms | | |");
        text.AppendLine(invariant, $"| `archive verify` afterwards | {Verified} | | |");
        return text;
    }

    private void Course(StringBuilder text, string what, MemoryTrace.Course course) => text.AppendLine(
        CultureInfo.InvariantCulture,
        $"| {what}: begin, end, highest, slope | {course.First:0}, {course.Last:0}, {course.Highest:0} MB, {course.SlopePerMinute:+0.0;-0.0} MB/min | below 1 % a minute | {(Load.Seconds < LeastSeconds ? "too short to tell" : Held(course.SlopePerMinute < FlatFraction * course.First))} |");

    private static string Milliseconds(double[] delays) => string.Create(CultureInfo.InvariantCulture, $"{1000 * Quantile(delays, 0.5):0}, {1000 * Quantile(delays, 0.99):0}, {1000 * Quantile(delays, 1):0} ms of {delays.Length:#,0} messages");

    private static double Quantile(double[] delays, double part) => delays.Length == 0 ? double.PositiveInfinity : delays[Math.Min(delays.Length - 1, (int)(part * delays.Length))];

    private static string Held(bool held) => held ? "held" : "not held";
}
