using Acquire.Core.Results;

namespace Acquire.Simulator;

/// <summary>What should be said of the flash point.</summary>
public enum ExpectedFlash
{
    /// <summary>It is found at the application at which it happened.</summary>
    Found,

    /// <summary>None is stated.</summary>
    None,

    /// <summary>It is found where it happened, or the run is not valid: a wrong figure is never called valid.</summary>
    NeverWrong,

    /// <summary>It is found where it happened, or up to three applications before: what the detector sees there cannot be told from a flash.</summary>
    MayBeEarly,
}

/// <summary>What Acquire should conclude from a situation, whatever the seed.</summary>
/// <param name="Verdicts">The verdicts that are right; one, where only one is.</param>
/// <param name="Flash">What is right for the flash point.</param>
/// <param name="Codes">Findings that must be among those of the run.</param>
public sealed record ExpectedConclusion(IReadOnlyList<Verdict> Verdicts, ExpectedFlash Flash, IReadOnlyList<string> Codes)
{
    // A flash may show before the flame's signal comes and after it has gone; a late one by 2.3 s at most.
    private const double BeforeSeconds = 0.3, AfterSeconds = 2.5;

    // A halo shows up to some 4 °C below the flash point.
    private const int EarlyApplications = 3;

    /// <summary>The conclusion in words, such as `doubtful, flash found, draught`.</summary>
    public override string ToString() => string.Join(", ", [
        string.Join(" or ", Verdicts.Select(verdict => verdict.ToString().ToLowerInvariant())),
        Flash switch { ExpectedFlash.Found => "flash found", ExpectedFlash.None => "no flash point", ExpectedFlash.MayBeEarly => "flash found, or told at a halo before it", _ => "no wrong figure called valid" },
        .. Codes]);

    /// <summary>What a result has otherwise; empty where it is as it should be.</summary>
    /// <param name="run">What was played.</param>
    /// <param name="result">What was concluded.</param>
    public IReadOnlyList<string> Compare(SimulatedRun run, RunResult result)
    {
        ArgumentNullException.ThrowIfNull(run);
        ArgumentNullException.ThrowIfNull(result);
        var differences = new List<string>();
        if (!Verdicts.Contains(result.Verdict))
        {
            differences.Add($"verdict {result.Verdict.ToString().ToLowerInvariant()} instead of {string.Join(" or ", Verdicts.Select(verdict => verdict.ToString().ToLowerInvariant()))}{Why(result)}");
        }

        var right = IsRight(run, result);
        if (Flash switch { ExpectedFlash.Found => !right, ExpectedFlash.None => result.Flash is not null, ExpectedFlash.MayBeEarly => !right && !IsEarly(run, result), _ => !right && result.Verdict == Verdict.Valid })
        {
            differences.Add(FormattableString.Invariant($"flash at {result.Flash?.TimeSeconds:0.0} s ({result.Flash?.ObservedCelsius:0.0} °C), truly at {run.Truth.Flash?.TimeSeconds:0.0} s ({run.Truth.Flash?.TemperatureCelsius:0.0} °C)"));
        }

        differences.AddRange(Codes.Where(code => !result.Findings.Any(found => found.Code == code)).Select(code => $"no finding {code}"));
        return differences;
    }

    private static string Why(RunResult result) => result.Reasons.Any() ? $" ({string.Join(", ", result.Reasons.Select(reason => reason.Code))})" : "";

    private static bool IsEarly(SimulatedRun run, RunResult result)
    {
        if (run.Truth.Flash is not { } truth || result.Flash is not { } found)
        {
            return false;
        }

        var earliest = run.Truth.Applications[Math.Max(0, truth.ApplicationNumber - 1 - EarlyApplications)];
        return found.TimeSeconds >= run.StampOf(earliest.TimeSeconds) - BeforeSeconds && found.TimeSeconds < run.StampOf(truth.TimeSeconds);
    }

    private static bool IsRight(SimulatedRun run, RunResult result)
    {
        if (run.Truth.Flash is not { } truth)
        {
            return result.Flash is null;
        }

        var pass = run.Truth.Applications[truth.ApplicationNumber - 1];
        return result.Flash is { } found
            && found.TimeSeconds >= run.StampOf(pass.TimeSeconds) - BeforeSeconds
            && found.TimeSeconds <= run.StampOf(pass.TimeSeconds + pass.DurationSeconds) + AfterSeconds;
    }
}
