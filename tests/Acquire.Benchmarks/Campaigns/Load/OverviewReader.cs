using Acquire.Service.Live;
using Microsoft.AspNetCore.SignalR.Client;

namespace Acquire.Benchmarks.Campaigns.Load;

/// <summary>Reads the overview as the page does, and sums up what is archived of the open runs.</summary>
internal sealed class OverviewReader : IAsyncDisposable
{
    private readonly HubConnection _connection;
    private readonly CancellationTokenSource _ending = new();
    private readonly Task _reading;
    private volatile Progress _archived = new();

    private OverviewReader(HubConnection connection)
    {
        _connection = connection;
        _reading = ReadAsync();
    }

    /// <summary>Rows of the newest runs that are archived.</summary>
    public Progress Archived => _archived;

    /// <summary>Begins to read.</summary>
    public static async Task<OverviewReader> StartAsync(LoadedService service) => new(await service.ConnectAsync());

    /// <summary>Begins a new record of what is archived.</summary>
    public Progress Begin() => _archived = new();

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        await _ending.CancelAsync();
        await _reading;
        await _connection.DisposeAsync();
        _ending.Dispose();
    }

    private async Task ReadAsync()
    {
        try
        {
            await foreach (var testers in _connection.StreamAsync<TesterOverview[]>("Overview", _ending.Token))
            {
                _archived.Report(testers.Sum(tester => tester.Run is { ClosedAt: null } run ? run.ArchivedRows : 0));
            }
        }
        catch (OperationCanceledException)
        {
            // Asked for.
        }
    }
}
