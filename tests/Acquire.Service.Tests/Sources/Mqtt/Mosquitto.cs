using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Net.Sockets;
using Acquire.Service.Tests.Sources.Serial;
using Xunit;

namespace Acquire.Service.Tests.Sources.Mqtt;

/// <summary>A real broker in a process of its own, on a free loopback port, without persistence.</summary>
internal sealed class Mosquitto : IDisposable
{
    private readonly string _folder = TestFolders.Make("acquire-broker-");
    private Process? _process;

    /// <param name="moreLines">More lines of its configuration; FOLDER stands for <see cref="Folder"/>.</param>
    /// <param name="keeps">Whether it writes sessions and what waits for them to its folder when it is stopped.</param>
    public Mosquitto(string moreLines = "allow_anonymous true", bool keeps = false)
    {
        Port = FreePort();
        if (!OperatingSystem.IsWindows())
        {
            // Started by root, the broker gives up root and must still reach its files.
            File.SetUnixFileMode(_folder, (UnixFileMode)(keeps ? 0b111_111_111 : 0b111_101_101));
        }

        File.WriteAllText(Configuration, string.Create(CultureInfo.InvariantCulture, $"listener {Port} 127.0.0.1\n{(keeps ? "persistence true\npersistence_location " + _folder + "/" : "persistence false")}\nmax_queued_messages 0\n{moreLines.Replace("FOLDER", _folder, StringComparison.Ordinal)}\n"));
    }

    /// <summary>Port it listens on.</summary>
    public int Port { get; }

    /// <summary>Folder for files of the broker, readable for everybody.</summary>
    public string Folder => _folder;

    private string Configuration => Path.Combine(_folder, "broker.conf");

    /// <summary>Skips the test where the program is not installed.</summary>
    public static void SkipWithout(string program) => Assert.SkipUnless(
        PtyPair.OnPath(program) is not null, $"{program} is not installed: without it there is no peer of another make to test with");

    /// <summary>A loopback port that nobody listens on.</summary>
    public static int FreePort()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        return ((IPEndPoint)listener.LocalEndpoint).Port;
    }

    /// <summary>Starts the broker and waits until it listens.</summary>
    public async Task StartAsync(CancellationToken cancellationToken)
    {
        _process = Process.Start(new ProcessStartInfo(PtyPair.OnPath("mosquitto")!, ["-c", Configuration]) { RedirectStandardError = true, RedirectStandardOutput = true })!;
        await SourceSamples.Until(Listens, "the broker", cancellationToken);
    }

    /// <summary>Writes an account into the file `accounts` of its folder.</summary>
    public async Task AddAccountAsync(string user, string password, CancellationToken cancellationToken)
    {
        var file = Path.Combine(_folder, "accounts");
        using var writing = Process.Start(PtyPair.OnPath("mosquitto_passwd")!, ["-c", "-b", file, user, password]);
        await writing.WaitForExitAsync(cancellationToken);
        if (!OperatingSystem.IsWindows())
        {
            File.SetUnixFileMode(file, (UnixFileMode)0b110_100_100);
        }
    }

    /// <summary>Asks the broker to end, as a restart of its machine does.</summary>
    public async Task StopAsync(CancellationToken cancellationToken)
    {
        using var asking = Process.Start("kill", ["-TERM", _process!.Id.ToString(CultureInfo.InvariantCulture)]);
        await _process.WaitForExitAsync(cancellationToken);
        _process.Dispose();
        _process = null;
    }

    /// <summary>Ends the broker at once, as a power cut does.</summary>
    public void Kill()
    {
        _process?.Kill();
        _process?.WaitForExit();
        _process?.Dispose();
        _process = null;
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        Kill();
        Directory.Delete(_folder, recursive: true);
    }

    private bool Listens()
    {
        try
        {
            using var probe = new TcpClient("127.0.0.1", Port);
            return true;
        }
        catch (SocketException)
        {
            return false;
        }
    }
}
