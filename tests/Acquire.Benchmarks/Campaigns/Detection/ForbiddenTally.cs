using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Simulator;

namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>Counts over runs whose disturbance forbids a right answer.</summary>
/// <param name="Runs">How many.</param>
/// <param name="AsExpected">Those that concluded what they must.</param>
/// <param name="WrongAndValid">Those that called a wrong flash point valid.</param>
/// <param name="Verdicts">How many valid, doubtful and invalid.</param>
/// <param name="Stories">What was otherwise, with its seed, in order.</param>
internal sealed record ForbiddenTally(int Runs, int AsExpected, int WrongAndValid, int[] Verdicts, IReadOnlyList<string> Stories)
{
    private static readonly ExpectedConclusion NeverWrong = new([Verdict.Valid, Verdict.Doubtful, Verdict.Invalid], ExpectedFlash.NeverWrong, []);

    /// <summary>Plays runs of consecutive seeds, all methods in turn.</summary>
    public static ForbiddenTally Play(ForbiddenRow row, ulong firstSeed, int runs, Action played)
    {
        var all = new (string? Story, bool Wrong, Verdict Verdict)[runs];
        Parallel.For(0, runs, new ParallelOptions { MaxDegreeOfParallelism = Environment.ProcessorCount }, i =>
        {
            all[i] = PlayOne(row, firstSeed + (ulong)i, i);
            played();
        });
        int[] verdicts = [.. Enum.GetValues<Verdict>().Select(verdict => all.Count(one => one.Verdict == verdict))];
        return new(runs, all.Count(one => one.Story is null), all.Count(one => one.Wrong), verdicts, [.. all.Select(one => one.Story).OfType<string>()]);
    }

    private static (string? Story, bool Wrong, Verdict Verdict) PlayOne(ForbiddenRow row, ulong seed, int i)
    {
        var method = row.Methods[i % row.Methods.Count];
        var plain = RunDraw.Options(seed, method, row.Two ?? (i / row.Methods.Count % 2 == 1), 50);
        var run = new SimulatedRun(plain with { Disturbances = [row.Make(new SimulatedRun(plain).Truth)] });
        var told = new List<RunOutput>();
        var result = RunReplay.Run(RunDraw.Plan(run.Options), run, told);
        string[] differences = [.. row.Expected.Compare(run, result), .. Unalarmed(row, run.Truth, told)];
        var story = differences.Length == 0 ? null : FormattableString.Invariant($"{row.Name}, seed {seed}, {method.Id}, {(plain.TwoDetectors ? "two detectors" : "one detector")}: {string.Join("; ", differences)}");
        return (story, NeverWrong.Compare(run, result).Count > 0, result.Verdict);
    }

    // Where no alarm came within its time of the disturbance.
    private static IEnumerable<string> Unalarmed(ForbiddenRow row, SimulatedTruth truth, List<RunOutput> told) => row.Alarm is not { } alarm ? [] :
        from came in (truth.Disturbances ?? []).SelectMany(one => one.TimesSeconds)
        where !told.OfType<AlarmRaised>().Any(raised => raised.Code == alarm.Code && raised.AtSeconds >= came && raised.AtSeconds <= came + alarm.WithinSeconds)
        select FormattableString.Invariant($"no alarm {alarm.Code} within {alarm.WithinSeconds} s of {came:0.0} s");
}
