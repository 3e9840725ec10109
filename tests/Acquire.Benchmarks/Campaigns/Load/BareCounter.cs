using System.Globalization;
using Acquire.EndToEnd.Tests.Rig;

namespace Acquire.Benchmarks.Campaigns.Load;

/// <summary>A <see cref="CountingChild"/> seen from outside.</summary>
internal sealed class BareCounter : IAsyncDisposable
{
    // The service collects its garbage like a server: so does what it is held against.
    private static readonly Dictionary<string, string> LikeAServer = new() { ["DOTNET_gcServer"] = "1" };

    private readonly ChildProcess _process;
    private Progress _progress = new();
    private long _before;
    private long _count = -1;

    private BareCounter(string name, int port, ChildProcess process)
    {
        (Name, Port, _process) = (name, port, process);
        process.Said += line =>
        {
            if (long.TryParse(line, NumberStyles.None, CultureInfo.InvariantCulture, out var count))
            {
                Interlocked.Exchange(ref _count, count);
                _progress.Report(count - _before);
            }
        };
    }

    /// <summary>In a few words.</summary>
    public string Name { get; }

    /// <summary>Port of the broker that is published to.</summary>
    public int Port { get; }

    /// <summary>Starts one and waits until it counts.</summary>
    public static async Task<BareCounter> StartAsync(string name, string what, int port)
    {
        var own = Path.Combine(AppContext.BaseDirectory, "Acquire.Benchmarks.dll");
        var counter = new BareCounter(name, port, ChildProcess.Start("dotnet", ["exec", own, what, port.ToString(CultureInfo.InvariantCulture)], environment: LikeAServer));
        for (var waited = 0; Interlocked.Read(ref counter._count) < 0 && waited < 300; waited++)
        {
            await Task.Delay(TimeSpan.FromMilliseconds(100), TimeProvider.System);
        }

        return counter._process.HasEnded || counter._count < 0 ? throw new InvalidOperationException($"{what} does not count: {counter._process.Error}") : counter;
    }

    /// <summary>Counts from 0 on again.</summary>
    public Progress Begin()
    {
        _before = Interlocked.Read(ref _count);
        return _progress = new();
    }

    /// <inheritdoc/>
    public ValueTask DisposeAsync() => _process.DisposeAsync();
}
