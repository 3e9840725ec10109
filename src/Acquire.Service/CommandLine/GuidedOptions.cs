using System.CommandLine;
using Acquire.Core;
using Acquire.Core.Runs;

namespace Acquire.Service.CommandLine;

/// <summary>What `acquire replay` is told of a run that a person worked by hand, and the file of what was seen.</summary>
internal sealed class GuidedOptions
{
    private const string Ending = ".observations.csv";

    /// <summary>Judge by what a person saw.</summary>
    public Option<bool> Guided { get; } = new("--guided") { Description = $"The cup was worked by hand: judge by what the person saw. For oil.csv that stands beside it in oil{Ending}." };

    /// <summary>The file of what was seen, where it is another.</summary>
    public Option<string?> Observations { get; } = new("--observations") { Description = $"What the person saw (a run's observations.csv: {PersonEntryWords.Header}); with it --guided may be left out. For an equilibrium procedure it says when each test portion was charged." };

    /// <summary>How early an application was asked for.</summary>
    public Option<double> PromptLead { get; } = NumberOption.WithDefault("--prompt-lead", "Only guided: how long before it was due an application was asked for, s (0 to 30).", RunPlan.UsualPromptLeadSeconds);

    /// <summary>Whether a file of a folder holds what was seen rather than a trace.</summary>
    public static bool IsObservations(string file) => file.EndsWith(Ending, StringComparison.OrdinalIgnoreCase);

    /// <summary>The file of what was seen that belongs to a trace.</summary>
    public static string Beside(string tracePath) => Path.ChangeExtension(tracePath, null) + Ending;

    /// <summary>What is wrong with the options.</summary>
    public IReadOnlyList<InputError> Check(ParseResult parsed, string trace)
    {
        var errors = new List<InputError>();
        PlanArguments.Within(errors, "--prompt-lead", parsed.GetValue(PromptLead), RunPlan.PromptLeadRangeSeconds, "s");
        if (parsed.GetValue(Observations) is not null && Directory.Exists(trace))
        {
            errors.Add(new("--observations", "is for one trace; for a folder give --guided, and beside each trace such as oil.csv a file oil" + Ending));
        }

        return errors;
    }

    /// <summary>The plan with the mode that was asked for.</summary>
    public RunPlan Apply(ParseResult parsed, RunPlan plan) => parsed.GetValue(Guided) || (parsed.GetValue(Observations) is not null && !plan.IsEquilibrium)
        ? plan with { Mode = RunMode.Guided, PromptLeadSeconds = parsed.GetValue(PromptLead) }
        : plan;

    /// <summary>Reads what was seen; on failure the errors say what is wrong with the file.</summary>
    public static bool TryRead(string path, out IReadOnlyList<PersonEntry> entries, out IReadOnlyList<InputError> errors)
    {
        try
        {
            (entries, errors) = PersonEntryReader.Read(path, File.ReadLines(path));
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            (entries, errors) = ([], [new InputError(path, $"cannot be read: {exception.Message} Without what the person entered neither a guided run nor one with fresh test portions can be judged; give it with --observations")]);
        }

        return errors.Count == 0;
    }
}
