using System.Globalization;
using Acquire.Core;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Copies;
using Acquire.Service.Archive.Keeping;
using Acquire.Service.Sources.Capture;

namespace Acquire.Service.CommandLine.Archiving;

/// <summary>Carries an order to prune out, one run a transaction, and tells each.</summary>
/// <param name="order">The order; allowed.</param>
/// <param name="days">Only runs that ended more days ago.</param>
/// <param name="captures">Where what the wire said is kept.</param>
/// <param name="output">Told what was done.</param>
/// <param name="error">Told what was not.</param>
internal sealed class PruneRun(PruneOrder order, int days, CaptureFolder captures, TextWriter output, TextWriter error)
{
    private bool _stopped;

    /// <summary>How many runs were taken away.</summary>
    public int Gone { get; private set; }

    public async Task<int> RunAsync(RunArchive archive, string path, bool dry, CancellationToken cancellationToken)
    {
        var now = TimeProvider.System.GetUtcNow();
        var old = archive.PrunableBefore(now.AddDays(-days));
        foreach (var (id, held) in old.Held)
        {
            output.WriteLine($"{id}: on hold by {held.Person} since {Day(held.At)}: {held.Reason}");
        }

        var left = dry ? 0 : DropWiresOfPruned(archive);
        if (old.Runs.Count == 0 || dry)
        {
            foreach (var run in old.Runs)
            {
                output.WriteLine($"{run.Id}: would be taken away; ended {Day(run.EndedAt)}");
            }

            output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{old.Runs.Count} runs ended more than {days} days ago and are not on hold. Nothing was changed."));
            return left == 0 ? ExitCode.Done : ExitCode.Failed;
        }

        string? copy = null;
        if (order.Copy is { } file && !TryCopy(path, file, old.Runs, out copy))
        {
            return ExitCode.Failed;
        }

        foreach (var run in old.Runs)
        {
            var pruning = new RunPruning(run.Id, now, order.Person, order.Reason, run.TesterId, run.MethodId, run.StartedAt, run.EndedAt, run.Verdict, 0, copy);
            left += !cancellationToken.IsCancellationRequested && await TakeAwayAsync(archive, pruning).ConfigureAwait(false) ? 0 : 1;
        }

        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{Gone} runs were taken away{(Gone < old.Runs.Count ? $", {old.Runs.Count - Gone} were not" : "")}."));
        return left == 0 ? ExitCode.Done : ExitCode.Failed;
    }

    private async Task<bool> TakeAwayAsync(RunArchive archive, RunPruning pruning)
    {
        if (_stopped)
        {
            return false;
        }

        try
        {
            await archive.PruneAsync(pruning, CancellationToken.None).ConfigureAwait(false);
        }
        catch (Exception exception) when (exception is InvalidOperationException or ArchiveUnavailableException)
        {
            // What the archive does not take now it does not take for the next run either.
            _stopped = exception is ArchiveUnavailableException;
            error.WriteLine(new InputError(pruning.RunId, $"was not taken away: {exception.Message}"));
            return false;
        }

        Gone++;
        output.WriteLine($"{pruning.RunId}: taken away; ended {Day(pruning.EndedAt)}");
        return DropWire(pruning.RunId);
    }

    // What the wire said of a run goes behind its records: an order that was broken off in between leaves it here.
    private int DropWiresOfPruned(RunArchive archive) =>
        captures.Runs().Count(id => archive.FindPruning(id) is not null && archive.FindRun(id) is null && !DropWire(id));

    private bool DropWire(string id)
    {
        try
        {
            captures.Delete(id);
            return true;
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            error.WriteLine(new InputError(id, $"its records are taken away, but what its wire said cannot be deleted: {exception.Message} Put that right and call the command again."));
            return false;
        }
    }

    private bool TryCopy(string path, string file, IReadOnlyList<PrunableRun> runs, out string? head)
    {
        head = null;
        try
        {
            if (CopyComparison.WhyNotHeld(path, file, [.. runs.Select(run => run.Id)], out var end) is { } why)
            {
                error.WriteLine(new InputError("--copy", why));
                return false;
            }

            head = string.Create(CultureInfo.InvariantCulture, $"{end!.Link} {Convert.ToHexStringLower(end.Digest.Span)}");
            return true;
        }
        catch (ArchiveRefusedException refusal)
        {
            error.WriteLine(new InputError("--copy", refusal.Message));
            return false;
        }
    }

    private static string Day(DateTimeOffset at) => at.UtcDateTime.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
