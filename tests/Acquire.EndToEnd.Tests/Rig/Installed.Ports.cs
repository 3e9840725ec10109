using System.Net;
using System.Net.Sockets;

namespace Acquire.EndToEnd.Tests.Rig;

/// <summary>What the machine has to offer: programs and free ports.</summary>
internal static partial class Installed
{
    /// <summary>A loopback port that nobody listens on.</summary>
    public static int FreePort()
    {
        using var probe = new TcpListener(IPAddress.Loopback, 0);
        probe.Start();
        return ((IPEndPoint)probe.LocalEndpoint).Port;
    }

    /// <summary>Whether somebody listens on a loopback port.</summary>
    public static bool Listens(int port)
    {
        try
        {
            using var probe = new TcpClient("127.0.0.1", port);
            return true;
        }
        catch (SocketException)
        {
            return false;
        }
    }

    /// <summary>Where a program is; null where it is not installed.</summary>
    public static string? Find(string name) => (Environment.GetEnvironmentVariable("PATH") ?? "").Split(Path.PathSeparator)
        .Append("/usr/sbin").Select(folder => Path.Combine(folder, name)).FirstOrDefault(File.Exists);
}
