using System.CommandLine;
using System.Diagnostics.CodeAnalysis;
using Acquire.Core;
using Acquire.Service.Archive.Influx;
using Acquire.Service.Archive.Influx.Keeping;
using Acquire.Service.CommandLine.Archiving;
using Acquire.Service.Configuration;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.CommandLine.Influxing;

/// <summary>What a verb of `acquire influx` works with.</summary>
/// <param name="Influx">The endpoint.</param>
/// <param name="Options">Archive and what is kept beside it.</param>
/// <param name="Output">For what was asked.</param>
/// <param name="Error">For what stands in the way.</param>
internal sealed record InfluxSession(InfluxConfig Influx, OutboxOptions Options, TextWriter Output, TextWriter Error)
{
    private const string UsualConfig = "acquire.json";

    /// <summary>Clock.</summary>
    public TimeProvider Time { get; init; } = TimeProvider.System;

    public static Option<string> Config() => new("--config") { Description = "Configuration file with the key influx.", DefaultValueFactory = _ => UsualConfig };

    public static Option<string?> Data() => new("--data") { Description = "Folder of the archive instead of the one in the file." };

    /// <summary>Finds endpoint and archive. False, and told, where there is none.</summary>
    public static bool TryBegin(string config, string? data, TextWriter output, TextWriter error, [NotNullWhen(true)] out InfluxSession? session)
    {
        session = null;
        if (!ConfigFile.TryRead(config, out var read, out var mistakes))
        {
            foreach (var mistake in mistakes)
            {
                error.WriteLine(mistake);
            }

            return false;
        }

        if (read.Influx is not { } influx)
        {
            error.WriteLine(ConfigFile.In(config, new("influx", "is missing: nothing is handed on. Allowed: the key influx with url, org and bucket, see docs/configuration.md")));
            return false;
        }

        var path = Path.Combine(Path.GetFullPath(data ?? read.DataDirectory), ArchivePlace.FileName);
        if (!File.Exists(path))
        {
            error.WriteLine(new InputError("--data", $"there is no archive {path}"));
            return false;
        }

        session = new(influx, new(path), output, error);
        return true;
    }

    /// <summary>Runs a verb; what the disk refuses is told and ends it.</summary>
    public async Task<int> RunAsync(Func<Task<int>> verb)
    {
        try
        {
            return await verb().ConfigureAwait(false);
        }
        catch (Exception exception) when (exception is SqliteException or Archive.ArchiveRefusedException or IOException or UnauthorizedAccessException)
        {
            Error.WriteLine(new InputError(Options.StatePath, $"the archive or what is kept beside it cannot be used: {exception.Message}"));
            return ExitCode.BadInput;
        }
    }

    /// <summary>Opens what is kept for the endpoint.</summary>
    public OutboxStore OpenStore() => OutboxStore.Open(Options.StatePath, Influx, Time);
}
