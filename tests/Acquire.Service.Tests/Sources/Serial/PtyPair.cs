using System.Diagnostics;
using System.Text;
using Xunit;

namespace Acquire.Service.Tests.Sources.Serial;

/// <summary>Two pseudo terminals joined by socat: the service reads one, the test is the tester at the other.</summary>
internal sealed class PtyPair : IDisposable
{
    private readonly string _folder = TestFolders.Make("acquire-pty-");
    private Process? _socat;
    private FileStream? _wire;

    /// <summary>The service's end.</summary>
    public string Port => Path.Combine(_folder, "A");

    /// <summary>The tester's end.</summary>
    public string Far => Path.Combine(_folder, "B");

    /// <summary>Skips the test where socat is not installed.</summary>
    public static void SkipWithoutSocat() => Assert.SkipUnless(
        OnPath("socat") is not null, "socat is not installed: without it there are no pseudo terminals to stand for a serial port");

    /// <summary>Where a program is; null where it is not installed.</summary>
    public static string? OnPath(string program) => (Environment.GetEnvironmentVariable("PATH") ?? "").Split(Path.PathSeparator)
        .Append("/usr/sbin").Select(folder => Path.Combine(folder, program)).FirstOrDefault(File.Exists);

    /// <summary>Plugs the pair in.</summary>
    public async Task PlugInAsync(CancellationToken cancellationToken)
    {
        _socat = Process.Start(new ProcessStartInfo("socat", ["-d", $"pty,rawer,link={Port}", $"pty,rawer,link={Far}"]) { RedirectStandardError = true })!;
        await SourceSamples.Until(() => File.Exists(Port) && File.Exists(Far), "the pseudo terminals", cancellationToken);
        TakeUp();
    }

    /// <summary>Closes the tester's end, as a tester that is switched off behind an adapter that stays plugged in.</summary>
    public void LetGo() => _wire?.Dispose();

    /// <summary>Opens the tester's end again.</summary>
    public void TakeUp() => _wire = new FileStream(Far, FileMode.Open, FileAccess.Write, FileShare.ReadWrite, 0);

    /// <summary>Pulls it out, as an adapter is pulled out of its socket.</summary>
    public void Unplug()
    {
        _socat?.Kill();
        _socat?.WaitForExit();
        _socat?.Dispose();
        _socat = null;
        _wire?.Dispose();
        File.Delete(Port);
        File.Delete(Far);
    }

    /// <summary>Sends bytes; throws where the pair is not plugged in.</summary>
    public void Send(ReadOnlySpan<byte> bytes)
    {
        var wire = _wire ?? throw new IOException("not plugged in");
        wire.Write(bytes);
        wire.Flush();
    }

    /// <summary>Sends text.</summary>
    public void Send(string text) => Send(Encoding.ASCII.GetBytes(text));

    /// <summary>Takes what the service writes, line by line, until the pair is pulled out.</summary>
    /// <param name="line">Told each line, without its line end.</param>
    public void Listen(Action<string> line)
    {
        var far = new FileStream(Far, FileMode.Open, FileAccess.Read, FileShare.ReadWrite, 1);
        _ = Task.Run(() =>
        {
            using var reader = new StreamReader(far, Encoding.ASCII);
            try
            {
                while (reader.ReadLine() is { } text)
                {
                    line(text);
                }
            }
            catch (IOException)
            {
                // Pulled out.
            }
        });
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        Unplug();
        Directory.Delete(_folder, recursive: true);
    }
}
