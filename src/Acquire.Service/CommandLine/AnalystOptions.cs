using System.CommandLine;
using Acquire.Core;
using Acquire.Simulator;

namespace Acquire.Service.CommandLine;

/// <summary>What `acquire simulate` is told of a person who works the simulated cup by hand.</summary>
internal sealed class AnalystOptions
{
    private static readonly SimulatedAnalyst Usual = new();

    /// <summary>A person works the cup.</summary>
    public Option<bool> Guided { get; } = new("--guided") { Description = "A person works the cup by hand and keys in what is seen: the trace holds the thermometer alone, and the keys go beside it (.observations.csv). Over a line or a broker the keys stand in the truth." };

    /// <summary>From prompt to pass.</summary>
    public Option<double> Answer { get; } = NumberOption.WithDefault("--answer", "Only guided: from the prompt to the test flame over the cup, s (0.5 to 30).", Usual.AnswerSeconds);

    /// <summary>From sight to key.</summary>
    public Option<double> Reaction { get; } = NumberOption.WithDefault("--reaction", "Only guided: from the sight to the key, s (0.2 to 10).", Usual.ReactionSeconds);

    /// <summary>What goes wrong.</summary>
    public Option<string[]> Mistakes { get; } = new("--mistake") { Description = $"Only guided: {AnalystMistake.Forms}; may be given again.", DefaultValueFactory = _ => [] };

    /// <summary>The person; null where nobody works the cup. On failure the errors say what is wrong.</summary>
    public bool TryRead(ParseResult parsed, out SimulatedAnalyst? analyst, out IReadOnlyList<InputError> errors)
    {
        var (found, mistakes) = (new List<InputError>(), new List<AnalystMistake>());
        foreach (var text in parsed.GetValue(Mistakes) ?? [])
        {
            if (AnalystMistake.TryParse(text, "--mistake", out var mistake, out var error))
            {
                mistakes.Add(mistake);
            }
            else
            {
                found.Add(error);
            }
        }

        var guided = parsed.GetValue(Guided);
        if (!guided && mistakes.Count > 0)
        {
            found.Add(new("--mistake", "is for a person at the cup; give --guided with it"));
        }

        analyst = guided ? new() { AnswerSeconds = parsed.GetValue(Answer), ReactionSeconds = parsed.GetValue(Reaction), Mistakes = mistakes } : null;
        errors = found;
        return found.Count == 0;
    }
}
