using System.Globalization;

namespace Acquire.EndToEnd.Tests.Rig;

/// <summary>A broker of another make in a process of its own, on a free loopback port.</summary>
internal static class Mosquitto
{
    /// <summary>Starts it and waits until it listens; skips the test where it is not installed.</summary>
    public static async Task<ChildProcess> StartAsync(TestFolder folder, int port)
    {
        var program = Installed.Program("mosquitto", "without it there is no broker of another make to test with");
        if (!OperatingSystem.IsWindows())
        {
            // Started by root, the broker gives up root and must still reach its file.
            File.SetUnixFileMode(folder.Path, (UnixFileMode)0b111_101_101);
        }

        var config = folder.Write("broker.conf", string.Create(CultureInfo.InvariantCulture, $"listener {port} 127.0.0.1\nallow_anonymous true\npersistence false\nmax_queued_messages 0\nset_tcp_nodelay true\n"));
        var process = ChildProcess.Start(program, ["-c", config]);
        await Waiting.UntilAsync(() => process.HasEnded || Installed.Listens(port), "the broker");
        return process;
    }
}
