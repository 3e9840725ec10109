using System.Diagnostics;
using System.Globalization;

namespace Acquire.ArchiveVictim;

/// <summary>A victim with live load in a process of its own.</summary>
public sealed class VictimProcess : IAsyncDisposable
{
    private readonly Process _process;
    private readonly Task _reading;
    private readonly Acknowledged _acknowledged;
    private readonly Lock _lock = new();
    private readonly TaskCompletionSource _speaks = new(TaskCreationOptions.RunContinuationsAsynchronously);

    private VictimProcess(Process process, Acknowledged acknowledged)
    {
        (_process, _acknowledged) = (process, acknowledged);
        _reading = Task.Run(ReadAsync);
    }

    /// <summary>Starts one.</summary>
    /// <param name="path">The database file.</param>
    /// <param name="epoch">When the clocks of the testers began.</param>
    /// <param name="testers">How many there are.</param>
    /// <param name="acknowledged">Is told what the process says.</param>
    public static VictimProcess Start(string path, DateTimeOffset epoch, int testers, Acknowledged acknowledged)
    {
        var program = Path.Combine(AppContext.BaseDirectory, "Acquire.ArchiveVictim.dll");
        string[] arguments = ["exec", program, "live", path, epoch.ToString("O", CultureInfo.InvariantCulture), testers.ToString(CultureInfo.InvariantCulture)];
        return new(Process.Start(new ProcessStartInfo("dotnet", arguments) { RedirectStandardOutput = true, RedirectStandardError = true })!, acknowledged);
    }

    /// <summary>Completes once this life has acknowledged something.</summary>
    public Task Speaks => _speaks.Task;

    /// <summary>What was acknowledged until now.</summary>
    public Acknowledged Now()
    {
        lock (_lock)
        {
            return _acknowledged.Copy();
        }
    }

    /// <summary>Kills it without warning; all that it had said has been taken then.</summary>
    public async Task KillAsync()
    {
        _process.Kill();
        await _process.WaitForExitAsync().ConfigureAwait(false);
        await _reading.ConfigureAwait(false);
        if (await _process.StandardError.ReadToEndAsync().ConfigureAwait(false) is { Length: > 0 } said)
        {
            throw new InvalidOperationException($"The victim failed by itself: {said}");
        }
    }

    /// <summary>Stops it in its tracks, so that its files can be copied as they are at one moment; or lets it go on.</summary>
    public void Freeze(bool frozen)
    {
        using var signal = Process.Start("kill", [frozen ? "-STOP" : "-CONT", _process.Id.ToString(CultureInfo.InvariantCulture)]);
        signal.WaitForExit();
    }

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        if (!_process.HasExited)
        {
            _process.Kill();
        }

        await _reading.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        _process.Dispose();
    }

    private async Task ReadAsync()
    {
        while (await _process.StandardOutput.ReadLineAsync().ConfigureAwait(false) is { } line)
        {
            lock (_lock)
            {
                _acknowledged.Take(line);
            }

            _speaks.TrySetResult();
        }
    }
}
