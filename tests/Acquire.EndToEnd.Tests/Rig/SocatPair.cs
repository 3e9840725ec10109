namespace Acquire.EndToEnd.Tests.Rig;

/// <summary>Two pseudo terminals joined by socat: the service reads one end, a tester speaks at the other.</summary>
internal sealed class SocatPair : IAsyncDisposable
{
    private readonly TestFolder _folder;
    private readonly string _socat;
    private ChildProcess? _process;

    private SocatPair(TestFolder folder, string socat) => (_folder, _socat) = (folder, socat);

    /// <summary>The service's end.</summary>
    public string ServiceEnd => _folder["service-end"];

    /// <summary>The tester's end.</summary>
    public string TesterEnd => _folder["tester-end"];

    /// <summary>Makes the pair; skips the test where socat is not installed.</summary>
    public static async Task<SocatPair> PlugInAsync(TestFolder folder)
    {
        var pair = new SocatPair(folder, Installed.Program("socat", "without it there are no pseudo terminals to stand for a serial line"));
        await pair.PlugInAgainAsync();
        return pair;
    }

    /// <summary>Makes the pair anew after it was pulled out.</summary>
    public async Task PlugInAgainAsync()
    {
        _process = ChildProcess.Start(_socat, ["-d", $"pty,rawer,link={ServiceEnd}", $"pty,rawer,link={TesterEnd}"]);
        await Waiting.UntilAsync(() => File.Exists(ServiceEnd) && File.Exists(TesterEnd), "the pseudo terminals");
    }

    /// <summary>Pulls the line out, as an adapter is pulled out of its socket.</summary>
    public async Task PullOutAsync()
    {
        await DisposeAsync();

        // A killed socat leaves its links behind.
        File.Delete(ServiceEnd);
        File.Delete(TesterEnd);
    }

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        if (_process is not null)
        {
            await _process.DisposeAsync();
            _process = null;
        }
    }
}
