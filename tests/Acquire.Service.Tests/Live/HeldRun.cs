using Acquire.Core.Runs;
using Acquire.Service.Live;
using Microsoft.AspNetCore.SignalR.Client;
using Xunit;

namespace Acquire.Service.Tests.Live;

/// <summary>What a reader of a run's stream holds. Every update must join on without a hole or a duplicate.</summary>
internal sealed class HeldRun
{
    public List<(double Time, double? Temperature, double? Low, double? High, bool Flame)> Points { get; } = [];

    public List<RunOutput> Events { get; } = [];

    public RunUpdate? Newest { get; private set; }

    /// <summary>Reads from what is held on, until the stream ends or something holds.</summary>
    public async Task ReadAsync(HubConnection connection, string runId, Func<bool> enough)
    {
        using var reading = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        try
        {
            await foreach (var update in connection.StreamAsync<RunUpdate>("Run", runId, Points.Count, Events.Count, reading.Token))
            {
                Add(update);
                if (enough())
                {
                    await reading.CancelAsync();
                }
            }
        }
        catch (OperationCanceledException) when (enough())
        {
            // The reader had what it wanted.
        }
    }

    public void Add(CurveStretch curve)
    {
        Assert.Equal(Points.Count, curve.From);
        for (var index = 0; index < curve.Time.Count; index++)
        {
            Points.Add((curve.Time[index], curve.Temperature[index], curve.DetectorLow[index], curve.DetectorHigh[index], curve.Flame[index]));
        }
    }

    private void Add(RunUpdate update)
    {
        Add(update.Curve);
        Assert.Equal(Events.Count, update.EventsFrom);
        Events.AddRange(update.Events);
        Newest = update;
    }
}
