using System.Diagnostics;
using System.Globalization;

/// <summary>Runs inside the service that is measured (DOTNET_STARTUP_HOOKS) and writes once a second what it holds; the runtime wants this name, outside any namespace.</summary>
#pragma warning disable CA1050
public static class StartupHook
#pragma warning restore CA1050
{
    /// <summary>Names the file that is written to.</summary>
    public const string FileVariable = "ACQUIRE_LOAD_MEMORY_FILE";

    /// <summary>Called by the runtime before the program's own entry.</summary>
    public static void Initialize()
    {
        if (Environment.GetEnvironmentVariable(FileVariable) is { Length: > 0 } path)
        {
            new Thread(() => Write(path)) { IsBackground = true, Name = "load memory" }.Start();
        }
    }

    private static void Write(string path)
    {
        using var file = new StreamWriter(path) { AutoFlush = true };
        using var never = new ManualResetEventSlim();
        while (true)
        {
            var memory = GC.GetGCMemoryInfo(GCKind.Any);
            file.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{Stopwatch.GetTimestamp()} {Environment.WorkingSet} {memory.HeapSizeBytes} {Environment.CpuUsage.TotalTime.Ticks} {GC.GetTotalAllocatedBytes()} {GC.CollectionCount(2)} {GC.GetTotalPauseDuration().Ticks}"));
            never.Wait(1000);
        }
    }
}
