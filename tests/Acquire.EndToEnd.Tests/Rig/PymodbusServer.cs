using System.Globalization;
using Xunit;

namespace Acquire.EndToEnd.Tests.Rig;

/// <summary>Modbus units of another make in a process of their own.</summary>
internal static class PymodbusServer
{
    // The one that Debian's packages belong to, whatever else is called python3.
    private const string Python = "/usr/bin/python3";

    /// <summary>Starts a server on a loopback port and waits until it listens; skips the test where it is not installed.</summary>
    public static async Task<ChildProcess> TcpAsync(int port, params string[] units)
    {
        var process = Start(["tcp", port.ToString(CultureInfo.InvariantCulture), .. units]);
        await Waiting.UntilAsync(() => process.HasEnded || Installed.Listens(port), "the Modbus server");
        return process;
    }

    /// <summary>Starts units at the end of a serial line; skips the test where they are not installed.</summary>
    public static ChildProcess Rtu(string device, params string[] units) => Start(["rtu", device, "115200", .. units]);

    private static ChildProcess Start(string[] arguments)
    {
        Assert.SkipUnless(
            Directory.Exists("/usr/lib/python3/dist-packages/pymodbus") && Directory.Exists("/usr/lib/python3/dist-packages/serial_asyncio"),
            "python3-pymodbus or python3-serial-asyncio is not installed: without them there is no Modbus unit of another make to test with");
        return ChildProcess.Start(Python, [Script(), .. arguments]);
    }

    private static string Script()
    {
        var folder = new DirectoryInfo(AppContext.BaseDirectory);
        while (!File.Exists(Path.Combine(folder.FullName, "Acquire.sln")))
        {
            folder = folder.Parent ?? throw new InvalidOperationException("The tests do not run inside the repository.");
        }

        return Path.Combine(folder.FullName, "tests", "Acquire.Service.Tests", "Sources", "Modbus", "modbus_server.py");
    }
}
