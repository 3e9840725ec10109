using System.Diagnostics.CodeAnalysis;
using Acquire.Core;
using Acquire.Service.Configuration;

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

        if (!Uri.TryCreate(listen, UriKind.Absolute, out var address) || address.Scheme != Uri.UriSchemeHttp || !address.IsLoopback || address.PathAndQuery != "/")
        {
            error = new InputError("--listen", $"'{listen}' is not a loopback address such as http://127.0.0.1:5080");
            return false;
        }

        applied = config with { Listen = address };
        return true;
    }
}
