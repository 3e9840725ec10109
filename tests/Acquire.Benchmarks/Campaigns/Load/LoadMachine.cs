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

    private static string Processor() => File.Exists("/proc/cpuinfo") && File.ReadLines("/proc/cpuinfo").FirstOrDefault(line => line.StartsWith("model name", StringComparison.Ordinal)) is { } line
        ? line[(line.IndexOf(':', StringComparison.Ordinal) + 1)..].Trim()
        : RuntimeInformation.ProcessArchitecture.ToString();
}
