using System.CommandLine;
using Acquire.Service.CommandLine;
using Xunit;

namespace Acquire.Service.Tests.CommandLine;

/// <summary>How a command ended that was run inside the tests.</summary>
/// <param name="Code">Exit code.</param>
/// <param name="Output">What it printed.</param>
/// <param name="Error">What it complained of.</param>
internal sealed record Ran(int Code, string Output, string Error)
{
    /// <summary>Runs a command line against one command.</summary>
    public static Ran Command(Command command, params string[] arguments)
    {
        using var output = new StringWriter();
        using var error = new StringWriter();
        var parsed = command.Parse(arguments);
        Assert.Empty(parsed.Errors);
        var code = parsed.Invoke(new() { Output = output, Error = error });
        return new(code, output.ToString(), error.ToString());
    }

    /// <summary>It ended well and said nothing on the error stream.</summary>
    public Ran Well()
    {
        Assert.Equal("", Error);
        Assert.Equal(ExitCode.Done, Code);
        return this;
    }

    /// <summary>It refused, printed nothing, and named what is wrong and what is allowed.</summary>
    public void Refused(string option, params string[] words)
    {
        Assert.Equal(ExitCode.BadInput, Code);
        Assert.Equal("", Output);
        var lines = Error.Split('\n', StringSplitOptions.RemoveEmptyEntries).Where(line => line.StartsWith(option + ": ", StringComparison.Ordinal)).ToArray();
        Assert.True(lines.Any(line => words.All(word => line.Contains(word, StringComparison.Ordinal))), $"not refused by {option} with {string.Join(" and ", words)}, but: {Error}");
    }
}
