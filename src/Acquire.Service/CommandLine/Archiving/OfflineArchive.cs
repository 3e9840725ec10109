using Acquire.Core;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Database;
using Acquire.Service.Configuration;
using Microsoft.Data.Sqlite;
using Microsoft.Extensions.Logging.Abstractions;

namespace Acquire.Service.CommandLine.Archiving;

/// <summary>An archive opened for writing by a command, while the service does not run.</summary>
internal static class OfflineArchive
{
    /// <summary>The configuration that says who may; false, and told, where it cannot be read.</summary>
    public static AcquireConfig? ReadConfig(string? file, TextWriter error)
    {
        if (ConfigFile.TryRead(file ?? ArchivePlace.UsualConfig, out var config, out var mistakes))
        {
            return config;
        }

        foreach (var mistake in mistakes)
        {
            error.WriteLine(mistake);
        }

        return null;
    }

    /// <summary>Opens the archive of a configuration, does something, and closes it.</summary>
    /// <returns>What was done gave, or 2 where the archive cannot be opened.</returns>
    public static async Task<int> WithAsync(AcquireConfig config, TextWriter error, Func<RunArchive, string, Task<int>> act)
    {
        var path = ArchivePlace.Of(config);
        if (!File.Exists(path))
        {
            error.WriteLine(new InputError("--config", $"there is no archive {path}"));
            return ExitCode.BadInput;
        }

        try
        {
            // A run that a service ended in the middle of is the service's to go on with.
            var archive = RunArchive.Open(path, TimeProvider.System, NullLogger<RunArchive>.Instance, new ArchiveOptions { KeepsOpenRuns = true });
            await using (archive.ConfigureAwait(false))
            {
                return await act(archive, path).ConfigureAwait(false);
            }
        }
        catch (ArchiveRefusedException refusal)
        {
            error.WriteLine(new InputError("--config", refusal.Message));
            return ExitCode.BadInput;
        }
        catch (ArchiveCorruptException damage)
        {
            error.WriteLine(new InputError("--config", damage.Message));
            return ExitCode.Failed;
        }
        catch (SqliteException fault)
        {
            error.WriteLine(new InputError("--config", $"the archive {path} cannot be read: {SqliteFault.Explain(fault, path)}"));
            return ExitCode.Failed;
        }
    }
}
