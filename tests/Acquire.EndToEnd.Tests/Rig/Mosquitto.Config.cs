using System.Globalization;

namespace Acquire.EndToEnd.Tests.Rig;

/// <summary>A broker of another make in a process of its own, on a free loopback port.</summary>
internal static partial class Mosquitto
{
    /// <summary>Writes its configuration: nobody is kept out, nothing is dropped.</summary>
    public static string Configure(TestFolder folder, int port)
    {
        if (!OperatingSystem.IsWindows())
        {
            // Started by root, the broker gives up root and must still reach its file.
            File.SetUnixFileMode(folder.Path, (UnixFileMode)0b111_101_101);
        }

        return folder.Write("broker.conf", string.Create(CultureInfo.InvariantCulture, $"listener {port} 127.0.0.1\nallow_anonymous true\npersistence false\nmax_queued_messages 0\nset_tcp_nodelay true\n"));
    }
}
