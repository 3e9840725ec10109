using Acquire.Core;

namespace Acquire.Simulator;

/// <summary>The person at a simulated cup that is worked by hand: answers each prompt with a pass of the test flame, and keys in what is to be seen.</summary>
/// <remarks>How long a trained person takes is common practice, no source.</remarks>
public sealed record SimulatedAnalyst
{
    /// <summary>From the prompt to the test flame over the cup, s, 0.5 to 30.</summary>
    public double AnswerSeconds { get; init; } = 4;

    /// <summary>From the sight to the key, s, 0.2 to 10.</summary>
    public double ReactionSeconds { get; init; } = 1;

    /// <summary>Standard deviation of both, s, 0 to 2; never beyond two of them, nor below a tenth of a second.</summary>
    public double ScatterSeconds { get; init; } = 0.2;

    /// <summary>How long before it is due the page asks for an application, s, 0 to 30.</summary>
    public double PromptLeadSeconds { get; init; } = Core.Runs.RunPlan.UsualPromptLeadSeconds;

    /// <summary>What goes wrong; at most 50, one for an application.</summary>
    public IReadOnlyList<AnalystMistake> Mistakes { get; init; } = [];

    /// <summary>What is out of range, by the names of these options below `analyst`.</summary>
    internal IEnumerable<InputError> Check()
    {
        var errors = new List<InputError>();
        Within(errors, "answerSeconds", AnswerSeconds, 0.5, 30);
        Within(errors, "reactionSeconds", ReactionSeconds, 0.2, 10);
        Within(errors, "scatterSeconds", ScatterSeconds, 0, 2);
        Within(errors, "promptLeadSeconds", PromptLeadSeconds, Core.Runs.RunPlan.PromptLeadRangeSeconds.From, Core.Runs.RunPlan.PromptLeadRangeSeconds.To);
        Within(errors, "mistakes", Mistakes.Count, 0, 50);
        for (var i = 0; i < Mistakes.Count; i++)
        {
            Within(errors, $"mistakes[{i}].application", Mistakes[i].Application, 1, 500);
            Within(errors, $"mistakes[{i}].seconds", Mistakes[i].Seconds, 0, 60);
            if (Mistakes.Take(i).Any(before => before.Application == Mistakes[i].Application))
            {
                errors.Add(new($"analyst.mistakes[{i}].application", $"{Mistakes[i].Application} has a mistake already"));
            }
        }

        return errors;
    }

    private static void Within(List<InputError> errors, string name, double value, double least, double most)
    {
        // Written this way round so that NaN is refused too.
        if (!(value >= least && value <= most))
        {
            errors.Add(new("analyst." + name, string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{value} is not within {least} to {most}")));
        }
    }
}
