namespace Acquire.EndToEnd.Tests.Rig;

/// <summary>The program under test, as a user starts it.</summary>
internal static class AcquireProgram
{
    /// <summary>The assembly: the one built beside these tests in the same configuration, or the one that ACQUIRE_PROGRAM names, such as a published one.</summary>
    public static string Path { get; } = Environment.GetEnvironmentVariable("ACQUIRE_PROGRAM") is { Length: > 0 } given ? given : Built();

    /// <summary>Starts it.</summary>
    public static ChildProcess Start(params string[] arguments) => StartIn(new Dictionary<string, string>(), arguments);

    /// <summary>Starts it with variables of the environment besides those of this process.</summary>
    public static ChildProcess StartIn(IReadOnlyDictionary<string, string> environment, params string[] arguments) => File.Exists(Path)
        ? ChildProcess.Start("dotnet", ["exec", Path, .. arguments], environment: environment)
        : throw new FileNotFoundException($"{Path} is not there: build the solution first");

    /// <summary>Runs it to its end.</summary>
    public static async Task<Ended> RunAsync(params string[] arguments)
    {
        await using var process = Start(arguments);
        var code = await process.EndAsync();
        return new(code, process.Output, process.Error);
    }

    // artifacts/bin/{project}/{configuration}/
    private static string Built()
    {
        var own = new DirectoryInfo(AppContext.BaseDirectory.TrimEnd(System.IO.Path.DirectorySeparatorChar));
        return System.IO.Path.Combine(own.Parent!.Parent!.FullName, "Acquire.Service", own.Name, "acquire.dll");
    }
}

/// <summary>How the program ended.</summary>
/// <param name="Code">Exit code.</param>
/// <param name="Output">Standard output.</param>
/// <param name="Error">Standard error.</param>
internal sealed record Ended(int Code, string Output, string Error);
