using Acquire.Core.Results;
using Acquire.Core.Tests.Traces;

namespace Acquire.Core.Tests.Runs.Validity;

/// <summary>A rule of the supervisor with a run that breaks it and a twin that just does not.</summary>
/// <param name="Code">Code of its finding.</param>
/// <param name="What">What is broken, to tell several pairs of one code apart.</param>
/// <param name="Source">Where its limit is from.</param>
/// <param name="Weight">Weight of the finding in the run that breaks it.</param>
/// <param name="Broken">The run that breaks it.</param>
/// <param name="Kept">The twin.</param>
internal sealed record ValidityRule(string Code, string What, string Source, FindingWeight Weight, Func<Judged> Broken, Func<Judged> Kept)
{
    /// <summary>Verdict on the run that breaks it; null: that of the weight.</summary>
    public Verdict? Verdict { get; init; }

    /// <summary>Verdict on the twin.</summary>
    public Verdict KeptVerdict { get; init; } = Core.Results.Verdict.Valid;

    /// <summary>The verdict that the broken run must have.</summary>
    public Verdict BrokenVerdict => Verdict ?? Weight switch
    {
        FindingWeight.Invalid => Core.Results.Verdict.Invalid,
        FindingWeight.Doubtful => Core.Results.Verdict.Doubtful,
        _ => Core.Results.Verdict.Valid,
    };

    public override string ToString() => $"{Code}: {What}";
}
