using System.Diagnostics;
using System.Globalization;

/// <summary>Runs inside the service that is measured (DOTNET_STARTUP_HOOKS) and writes once a second what it holds; the runtime wants this name, outside any namespace.</summary>
#pragma warning disable CA1050
public static class StartupHook
#pragma warning restore CA1050
{
    /// <summary>Names the file that is written to.</summary>
    public const string FileVariable = "ACQUIRE_LOAD_MEMORY_FILE";

    /// <summary>Behind the name of that file: while such a file is there, all that is garbage is collected once, and the file goes.</summary>
    public const string CollectSuffix = ".collect";

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
        var held = 0L;
        while (true)
        {
            if (File.Exists(path + CollectSuffix))
            {
                GC.Collect(GC.MaxGeneration, GCCollectionMode.Forced, blocking: true, compacting: true);
                held = GC.GetTotalMemory(forceFullCollection: false);
                File.Delete(path + CollectSuffix);
            }

            file.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{Stopwatch.GetTimestamp()} {Environment.WorkingSet} {held} {Environment.CpuUsage.TotalTime.Ticks} {GC.GetTotalAllocatedBytes()} {GC.GetTotalPauseDuration().Ticks}"));
            never.Wait(1000);
        }
    }
}
