using System.Globalization;
using System.Runtime.InteropServices;

namespace Acquire.Benchmarks.Campaigns.Load;

/// <summary>The machine in a few words.</summary>
internal static class LoadMachine
{
    /// <summary>Processors, memory, system and runtime.</summary>
    public static string Text { get; } = string.Create(
        CultureInfo.InvariantCulture,
        $"{Processor()}, {Environment.ProcessorCount} cores for everything (publishers, broker, service, reader), {GC.GetGCMemoryInfo().TotalAvailableMemoryBytes / 1e9:0} GB, {RuntimeInformation.OSDescription}, {RuntimeInformation.FrameworkDescription}");

    /// <summary>What else ran on the machine, as the system's load average tells it; the campaign itself is about two of it.</summary>
    public static string Busy() => File.Exists("/proc/loadavg") && File.ReadAllText("/proc/loadavg").Split(' ') is [_, var five, var quarter, ..]
        ? $"Load average of the machine at the end: {five} over 5 minutes, {quarter} over 15."
        : "";

    private static string Processor() => File.Exists("/proc/cpuinfo") && File.ReadLines("/proc/cpuinfo").FirstOrDefault(line => line.StartsWith("model name", StringComparison.Ordinal)) is { } line
        ? line[(line.IndexOf(':', StringComparison.Ordinal) + 1)..].Trim()
        : RuntimeInformation.ProcessArchitecture.ToString();
}
