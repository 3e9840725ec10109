using System.Diagnostics;
using System.Globalization;

/// <summary>Runs inside the service that is measured (DOTNET_STARTUP_HOOKS) and writes once a second what it holds; the runtime wants this name, outside any namespace.</summary>
#pragma warning disable CA1050
public static class StartupHook
#pragma warning restore CA1050
{
    /// <summary>Names the file that is written to.</summary>
    public const string FileVariable = "ACQUIRE_LOAD_MEMORY_FILE";

    private const int SecondsBetweenCollections = 20;

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
        for (var second = 0; ; second++)
        {
            if (second % SecondsBetweenCollections == 0)
            {
                // In the background: what is held is known from time to time, and nothing stands still for it.
                GC.Collect(2, GCCollectionMode.Forced, blocking: false);
            }

            file.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{Stopwatch.GetTimestamp()} {Environment.WorkingSet} {HeldBytes()} {Environment.CpuUsage.TotalTime.Ticks} {GC.GetTotalAllocatedBytes()} {GC.CollectionCount(2)} {GC.GetTotalPauseDuration().Ticks}"));
            never.Wait(1000);
        }
    }

    // What the newest whole collection left; what has come since is not in it, since it may be garbage.
    private static long HeldBytes()
    {
        var (background, blocking) = (GC.GetGCMemoryInfo(GCKind.Background), GC.GetGCMemoryInfo(GCKind.FullBlocking));
        var newest = background.Index > blocking.Index ? background : blocking;
        var held = 0L;
        for (var generation = 2; generation < newest.GenerationInfo.Length; generation++)
        {
            held += newest.GenerationInfo[generation].SizeAfterBytes - newest.GenerationInfo[generation].FragmentationAfterBytes;
        }

        return held;
    }
}
