using Acquire.Service.Live;

namespace Acquire.EndToEnd.Tests.Rig;

/// <summary>Waits for what a run becomes.</summary>
internal static class Runs
{
    /// <summary>Waits until a tester's wire is open.</summary>
    public static Task<TesterOverview> ConnectedAsync(this ServiceApi api, string tester) =>
        Waiting.ForAsync(() => api.TesterAsync(tester), seen => seen.Connection == ConnectionState.Up, $"{tester} is connected");

    /// <summary>Waits until a run holds this many committed rows, or has closed.</summary>
    public static async Task<RunSummary> ArchivedAsync(this ServiceApi api, string runId, long rows, double limitSeconds = Waiting.RunSeconds) =>
        (await Waiting.ForAsync(() => api.RunAsync(runId), run => run.Summary.ArchivedRows >= rows || run.Summary.ClosedAt is not null, $"{rows} rows of {runId} are archived", limitSeconds)).Summary;

    /// <summary>Waits until all rows that were said are archived, then closes the run where it has not closed by itself.</summary>
    public static async Task<RunSummary> FinishedAsync(this ServiceApi api, string runId, long rowsSaid)
    {
        var run = await api.ArchivedAsync(runId, rowsSaid);
        return run.ClosedAt is null ? await api.StopAsync(runId) : run;
    }

    /// <summary>The run, once the service has taken it up again: it answers a moment before its testers' runs go on.</summary>
    public static Task<RunDetail> TakenUpAsync(this ServiceApi api, string runId) =>
        Waiting.ForAsync(() => api.RunAsync(runId), run => run.Summary.Resumed > 0 || run.Summary.ClosedAt is not null, $"{runId} goes on");
}
