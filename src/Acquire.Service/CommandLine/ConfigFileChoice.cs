using System.CommandLine;

namespace Acquire.Service.CommandLine;

/// <summary>The configuration file of a command that has no other argument: `FILE`, or `--config FILE`, whichever a person is used to; acquire.json where neither is given.</summary>
internal sealed class ConfigFileChoice
{
    private readonly Argument<string?> _file = new("FILE") { Description = "Configuration file, see docs/configuration.md; acquire.json unless given.", Arity = ArgumentArity.ZeroOrOne };
    private readonly Option<string?> _option = new("--config") { Description = "The same." };

    /// <summary>Adds both to a command, which refuses to be given both.</summary>
    public void AddTo(Command command)
    {
        command.Add(_file);
        command.Add(_option);
        command.Validators.Add(result =>
        {
            if (result.GetValue(_file) is not null && result.GetValue(_option) is not null)
            {
                result.AddError("FILE and --config are both given; give one of them.");
            }
        });
    }

    /// <summary>Path of the file.</summary>
    public string Path(ParseResult parsed) => parsed.GetValue(_file) ?? parsed.GetValue(_option) ?? "acquire.json";
}
