using System.CommandLine;
using System.CommandLine.Parsing;

namespace Acquire.Service.CommandLine;

/// <summary>Options and arguments that name a file or a folder: nothing is no name, as a script gives it whose variable is not set.</summary>
internal static class PathOption
{
    /// <summary>The same option, which refuses an empty name.</summary>
    public static Option<T> Named<T>(this Option<T> option)
    {
        option.Validators.Add(result => Check(result, option.Name));
        return option;
    }

    private static void Check(SymbolResult result, string name)
    {
        if (result.Tokens is [{ Value: var value }] && string.IsNullOrWhiteSpace(value))
        {
            result.AddError($"{name}: is empty; name a file or a folder");
        }
    }
}
