using System.Diagnostics.CodeAnalysis;
using System.Text;
using Acquire.Core;
using Acquire.Service.Configuration.Parsing;

namespace Acquire.Service.Configuration;

/// <summary>Reads `acquire.json` strictly: what is not known is an error, and as many mistakes as possible are reported at once.</summary>
public static class ConfigFile
{
    /// <summary>Largest file that is read, bytes.</summary>
    public const int LargestBytes = 1_048_576;

    /// <summary>Reads a file. A relative data directory is taken from the folder of the file.</summary>
    /// <param name="path">The file.</param>
    /// <param name="config">What it says; null after a mistake.</param>
    /// <param name="errors">Every mistake, with the file, its key and what is allowed.</param>
    public static bool TryRead(string path, [NotNullWhen(true)] out AcquireConfig? config, out IReadOnlyList<InputError> errors)
    {
        config = null;
        try
        {
            using var stream = File.OpenRead(path);
            if (stream.Length > LargestBytes)
            {
                errors = [new(path, $"the file has {stream.Length} bytes; allowed: up to {LargestBytes}")];
                return false;
            }

            using var reader = new StreamReader(stream, new UTF8Encoding(false, throwOnInvalidBytes: true));
            if (!TryParse(reader.ReadToEnd(), out config, out errors))
            {
                errors = [.. errors.Select(error => In(path, error))];
                return false;
            }

            var folder = Path.GetDirectoryName(Path.GetFullPath(path))!;
            config = config with { DataDirectory = Path.Combine(folder, config.DataDirectory), Mqtt = MqttFiles.Resolve(config.Mqtt, folder), Influx = InfluxFiles.Resolve(config.Influx, folder) };
            if (MqttFiles.Check(config.Mqtt) is { Count: > 0 } unread)
            {
                (config, errors) = (null, [.. unread.Select(error => In(path, error))]);
                return false;
            }

            return TryMethods(path, folder, ref config, out errors);
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            errors = [new(path, $"the file cannot be read: {exception.Message}")];
        }
        catch (DecoderFallbackException)
        {
            errors = [new(path, "the file is not UTF-8 text")];
        }

        return false;
    }

    private static bool TryMethods(string path, string folder, [NotNullWhen(true)] ref AcquireConfig? config, out IReadOnlyList<InputError> errors)
    {
        errors = [];
        if (config?.MethodsDirectory is not { } given)
        {
            return config is not null;
        }

        var methodsFolder = Path.Combine(folder, given);
        if (!Directory.Exists(methodsFolder))
        {
            errors = [In(path, new("methodsDirectory", $"given \"{JsonText.Shown(given)}\"; there is no such folder. Allowed: a folder of method files, or no such key"))];
        }
        else if (MethodFolder.TryRead(methodsFolder, out var methods, out errors))
        {
            config = config with { MethodsDirectory = methodsFolder, Methods = methods };
            return true;
        }

        config = null;
        return false;
    }

    /// <summary>A mistake with the name of its file before its key: a person may have several files.</summary>
    public static InputError In(string path, InputError error)
    {
        ArgumentNullException.ThrowIfNull(error);
        return error with { Path = $"{path}: {error.Path}" };
    }

    /// <summary>Reads the text of a file. The data directory stays as it is written.</summary>
    /// <param name="json">The text; comments and trailing commas are allowed.</param>
    /// <param name="config">What it says; null after a mistake.</param>
    /// <param name="errors">Every mistake, with its key and what is allowed.</param>
    public static bool TryParse(string json, [NotNullWhen(true)] out AcquireConfig? config, out IReadOnlyList<InputError> errors) =>
        StrictJson.TryParse(json, AcquireReader.Read, out config, out errors);
}
