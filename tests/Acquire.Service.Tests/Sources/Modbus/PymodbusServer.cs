using System.Buffers.Binary;
using System.Diagnostics;
using System.Globalization;
using System.Net.Sockets;
using Acquire.Service.Tests.Configuration;
using Xunit;

namespace Acquire.Service.Tests.Sources.Modbus;

/// <summary>A Modbus server of another make in a process of its own.</summary>
internal sealed class PymodbusServer : IDisposable
{
    // The one that Debian's packages belong to, whatever else is called python3.
    private const string Python = "/usr/bin/python3";
    private static readonly Lazy<bool> Installed = new(() => File.Exists(Python) && Ended(["-c", "import pymodbus, serial, serial_asyncio"]) == 0);

    private readonly string[] _arguments;
    private readonly Func<bool> _listens;
    private Process? _process;

    private PymodbusServer(Func<bool> listens, params string[] arguments) => (_listens, _arguments) = (listens, arguments);

    /// <summary>Skips the test where the server is not installed.</summary>
    public static void SkipWithout() => Assert.SkipUnless(
        Installed.Value, "python3-pymodbus or python3-serial-asyncio is not installed: without them there is no Modbus unit of another make to test with");

    /// <summary>A server on a loopback port.</summary>
    public static PymodbusServer Tcp(int port, params string[] units) => new(() => Listens(port), ["tcp", Text(port), .. units]);

    /// <summary>Units on a serial line.</summary>
    public static PymodbusServer Rtu(string device, params string[] units) => new(static () => true, ["rtu", device, "115200", .. units]);

    /// <summary>Starts it and waits until it listens.</summary>
    public async Task StartAsync(CancellationToken cancellationToken)
    {
        var script = Path.Combine(ConfigSamples.RepositoryRoot(), "tests", "Acquire.Service.Tests", "Sources", "Modbus", "modbus_server.py");
        _process = Process.Start(new ProcessStartInfo(Python, [script, .. _arguments]) { RedirectStandardInput = true, RedirectStandardOutput = true, RedirectStandardError = true })!;
        _process.ErrorDataReceived += static (_, _) => { };
        _process.BeginErrorReadLine();
        await SourceSamples.Until(_listens, "the Modbus server", cancellationToken);
    }

    /// <summary>Puts raw words into the registers of a unit.</summary>
    public async Task SetAsync(int unit, string table, int address, params int[] words)
    {
        await _process!.StandardInput.WriteLineAsync($"{Text(unit)} {table} {Text(address)} {string.Join(' ', words.Select(Text))}");
        Assert.Equal("set", await _process.StandardOutput.ReadLineAsync(TestContext.Current.CancellationToken));
    }

    /// <summary>Puts a float into two registers of a unit, high word first.</summary>
    public Task SetAsync(int unit, string table, int address, float value)
    {
        Span<byte> bytes = stackalloc byte[4];
        BinaryPrimitives.WriteSingleBigEndian(bytes, value);
        return SetAsync(unit, table, address, BinaryPrimitives.ReadUInt16BigEndian(bytes), BinaryPrimitives.ReadUInt16BigEndian(bytes[2..]));
    }

    /// <summary>Lets it hang with its connections open, as a unit whose program is stuck.</summary>
    public void Freeze() => Signal("-STOP");

    /// <summary>Lets it go on.</summary>
    public void Thaw() => Signal("-CONT");

    /// <summary>Ends it at once, as a power cut does.</summary>
    public void Kill()
    {
        _process?.Kill();
        _process?.WaitForExit();
        _process?.Dispose();
        _process = null;
    }

    /// <inheritdoc/>
    public void Dispose() => Kill();

    private void Signal(string signal)
    {
        using var kill = Process.Start("kill", [signal, Text(_process!.Id)]);
        kill.WaitForExit();
        Assert.Equal(0, kill.ExitCode);
    }

    private static int Ended(string[] arguments)
    {
        using var process = Process.Start(new ProcessStartInfo(Python, arguments) { RedirectStandardError = true })!;
        process.WaitForExit();
        return process.ExitCode;
    }

    private static bool Listens(int port)
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

    private static string Text(int number) => number.ToString(CultureInfo.InvariantCulture);
}
