using System.CommandLine;
using System.Diagnostics.CodeAnalysis;
using Acquire.Service.Configuration;

namespace Acquire.Service.CommandLine.Archiving;

/// <summary>Which archive is meant: a folder, or the one of a configuration.</summary>
internal static class ArchivePlace
{
    /// <summary>The configuration where none is named.</summary>
    public const string UsualConfig = "acquire.json";
    private const string UsualFolder = "data";

    /// <summary>The archive's file in its folder.</summary>
    public const string FileName = "runs.db";

    public static Option<string?> Data() => new Option<string?>("--data") { Description = $"Folder of the archive; without it, that of --config, or {UsualFolder} where there is no configuration." }.Named();

    public static Option<string?> Config() => new Option<string?>("--config") { Description = $"Configuration file that names the folder; {UsualConfig} where nothing is said." }.Named();

    /// <summary>The archive's file. False, and told, where the configuration cannot be read.</summary>
    public static bool TryFind(string? data, string? config, TextWriter error, [NotNullWhen(true)] out string? path)
    {
        path = null;
        if (data is null && (config is not null || File.Exists(UsualConfig)))
        {
            if (!ConfigFile.TryRead(config ?? UsualConfig, out var read, out var mistakes))
            {
                foreach (var mistake in mistakes)
                {
                    error.WriteLine(mistake);
                }

                return false;
            }

            data = read.DataDirectory;
        }

        path = Path.Combine(Path.GetFullPath(data ?? UsualFolder), FileName);
        return true;
    }

    /// <summary>The archive's file of a configuration.</summary>
    public static string Of(AcquireConfig config) => Path.Combine(Path.GetFullPath(config.DataDirectory), FileName);
}
