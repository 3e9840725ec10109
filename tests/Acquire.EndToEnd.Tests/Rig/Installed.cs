using System.Net;
using System.Net.Sockets;
using Xunit;

namespace Acquire.EndToEnd.Tests.Rig;

/// <summary>What the machine has to offer: programs and free ports.</summary>
internal static class Installed
{
    /// <summary>Where a program is; the test is skipped, with the reason, where it is not installed.</summary>
    public static string Program(string name, string what)
    {
        var path = (Environment.GetEnvironmentVariable("PATH") ?? "").Split(Path.PathSeparator)
            .Append("/usr/sbin").Select(folder => Path.Combine(folder, name)).FirstOrDefault(File.Exists);
        Assert.SkipUnless(path is not null, $"{name} is not installed: {what}");
        return path!;
    }

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
}
