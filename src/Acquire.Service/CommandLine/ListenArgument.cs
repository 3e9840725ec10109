using System.Diagnostics.CodeAnalysis;
using Acquire.Core;
using Acquire.Service.Configuration;
using Acquire.Service.Configuration.Parsing;

namespace Acquire.Service.CommandLine;

/// <summary>The address given on the command line. Only loopback: opening the page to the network is a decision for the file.</summary>
internal static class ListenArgument
{
    public static bool TryApply(AcquireConfig config, string? listen, out AcquireConfig applied, [NotNullWhen(false)] out InputError? error)
    {
        applied = config;
        error = null;
        if (listen is null)
        {
            return true;
        }

        if (!ListenAddress.TryParse(listen, out var address) || !address.IsLoopback)
        {
            error = new InputError("--listen", $"given \"{JsonText.Shown(listen)}\"; allowed: {ListenAddress.Allowed}, and only a loopback one");
            return false;
        }

        applied = config with { Listen = address };
        return true;
    }
}
