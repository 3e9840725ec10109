using System.CommandLine;
using System.Diagnostics.CodeAnalysis;
using Acquire.Core;
using Acquire.Core.Methods;
using Acquire.Service.Configuration;

namespace Acquire.Service.CommandLine;

/// <summary>The option that adds the methods of a folder to those that come with the program.</summary>
internal static class MethodsOption
{
    /// <summary>The option.</summary>
    public static Option<string?> Make() => new("--methods") { Description = "Folder of the laboratory's own method files, beside the methods that come with the program." };

    /// <summary>The methods; without a folder only those that come with the program.</summary>
    public static bool TryRead(string? folder, [NotNullWhen(true)] out MethodSet? methods, out IReadOnlyList<InputError> errors)
    {
        if (folder is not null)
        {
            return MethodFolder.TryRead(folder, out methods, out errors);
        }

        (methods, errors) = (MethodSet.Embedded, []);
        return true;
    }
}
