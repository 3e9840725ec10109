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
    public async Task<int> RunAsync(RunArchive archive, string path, bool dry, CancellationToken cancellationToken)
    {
        var now = TimeProvider.System.GetUtcNow();
        var old = archive.PrunableBefore(now.AddDays(-days));
        foreach (var (id, held) in old.Held)
        {
            output.WriteLine($"{id}: on hold by {held.Person} since {Day(held.At)}: {held.Reason}");
        }

        if (old.Runs.Count == 0 || dry)
        {
            Tell(old.Runs, "would be taken away");
            output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{old.Runs.Count} runs ended more than {days} days ago and are not on hold. Nothing was changed."));
            return ExitCode.Done;
        }

        string? copy = null;
        if (order.Copy is { } file && !TryCopy(path, file, old.Runs, out copy))
        {
            return ExitCode.Failed;
        }

        foreach (var run in old.Runs)
        {
            cancellationToken.ThrowIfCancellationRequested();
            var pruning = new RunPruning(run.Id, now, order.Person, order.Reason, run.TesterId, run.MethodId, run.StartedAt, run.EndedAt, run.Verdict, 0, copy);
            await archive.PruneAsync(pruning, CancellationToken.None).ConfigureAwait(false);
            captures.Delete(run.Id);
        }

        Tell(old.Runs, "taken away");
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{old.Runs.Count} runs were taken away."));
        return ExitCode.Done;
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

    private void Tell(IReadOnlyList<PrunableRun> runs, string what)
    {
        foreach (var run in runs)
        {
            output.WriteLine($"{run.Id}: {what}; ended {Day(run.EndedAt)}");
        }
    }

    private static string Day(DateTimeOffset at) => at.UtcDateTime.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
