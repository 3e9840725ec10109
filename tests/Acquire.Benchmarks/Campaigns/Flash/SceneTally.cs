namespace Acquire.Benchmarks.Campaigns.Flash;

/// <summary>A pass that was judged wrongly.</summary>
/// <param name="Seed">Seed of its scene.</param>
/// <param name="Pass">How it was judged.</param>
internal readonly record struct SceneFault(ulong Seed, PlayedPass Pass);

/// <summary>How many scenes were judged.</summary>
internal sealed class SceneTally
{
    // The first passes are judged more strictly, with nothing or little to compare them with.
    private const int UnknownPasses = 3;

    /// <summary>Passes without a flash, up to the first of a scene that was falsely called one.</summary>
    public int BarePasses { get; private set; }

    /// <summary>Those called a flash.</summary>
    public int False { get; private set; }

    /// <summary>Passes with a flash in scenes without a false one.</summary>
    public int Flashes { get; private set; }

    /// <summary>Those not called one.</summary>
    public int Missed { get; private set; }

    /// <summary>Distances of the onsets told from the true ones, ms, growing.</summary>
    public List<double> OnsetErrors { get; } = [];

    /// <summary>Evidence in passes without a flash from the fourth on, growing.</summary>
    public List<double> BareEvidence { get; } = [];

    /// <summary>Evidence in passes with one, growing.</summary>
    public List<double> FlashEvidence { get; } = [];

    /// <summary>What was judged wrongly, in order of the seeds.</summary>
    public List<SceneFault> Faults { get; } = [];

    /// <summary>Plays scenes of consecutive seeds on all cores; the tally does not depend on how many there are.</summary>
    /// <param name="options">What they look like.</param>
    /// <param name="firstSeed">The first seed.</param>
    /// <param name="scenes">How many.</param>
    /// <param name="played">Called after each, from any thread.</param>
    public static SceneTally Play(SceneOptions options, ulong firstSeed, int scenes, Action? played = null)
    {
        var all = new (List<PlayedPass> Passes, double Onset)[scenes];
        Parallel.For(0, scenes, new ParallelOptions { MaxDegreeOfParallelism = Environment.ProcessorCount }, i =>
        {
            var scene = PassScene.Draw(firstSeed + (ulong)i, options);
            all[i] = (ScenePlay.Play(scene), scene.Onset);
            played?.Invoke();
        });
        var tally = new SceneTally();
        for (var i = 0; i < scenes; i++)
        {
            foreach (var pass in all[i].Passes)
            {
                tally.Add(pass, firstSeed + (ulong)i, all[i].Onset);
            }
        }

        tally.OnsetErrors.Sort();
        tally.BareEvidence.Sort();
        tally.FlashEvidence.Sort();
        return tally;
    }

    /// <summary>A value that a share of a growing list does not exceed; NaN for an empty list.</summary>
    public static double Quantile(List<double> growing, double share) => growing.Count == 0 ? double.NaN : growing[(int)Math.Round(share * (growing.Count - 1))];

    private void Add(PlayedPass pass, ulong seed, double onset)
    {
        var known = pass.Number > UnknownPasses;
        if (pass.Flashes)
        {
            Flashes++;
            Missed += pass.Told ? 0 : 1;
            FlashEvidence.Add(pass.Evidence);
            if (pass.Told)
            {
                OnsetErrors.Add(1000 * Math.Abs(pass.OnsetSeconds - onset));
            }
        }
        else
        {
            BarePasses++;
            False += pass.Told ? 1 : 0;
            if (known)
            {
                BareEvidence.Add(pass.Evidence);
            }
        }

        if (pass.Flashes != pass.Told)
        {
            Faults.Add(new(seed, pass));
        }
    }
}
