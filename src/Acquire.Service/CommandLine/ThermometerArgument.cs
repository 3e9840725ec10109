using System.Diagnostics.CodeAnalysis;
using System.Text;
using Acquire.Core;
using Acquire.Core.Thermometry;
using Acquire.Service.Configuration;
using Acquire.Simulator;

namespace Acquire.Service.CommandLine;

/// <summary>A simulated tester's thermometer as a person gives it: one of a few names, or a file with a chain document.</summary>
internal static class ThermometerArgument
{
    private const string Option = "--thermometer";

    public static string Description { get; } = $"The thermometer whose signal the tester sends: {string.Join(", ", ThermometerPresets.Names)}, or a FILE with its description. Left out, it sends °C.";

    /// <summary>Finds the thermometer.</summary>
    /// <param name="given">Name or file; null for a plain thermometer. A file that has the name of a thermometer is reached as ./NAME.</param>
    /// <param name="day">Day on which the invented certificate of a name is in force.</param>
    /// <param name="chain">The thermometer; null after a mistake.</param>
    /// <param name="errors">Every mistake.</param>
    public static bool TryFind(string? given, DateOnly day, [NotNullWhen(true)] out ThermometerChain? chain, out IReadOnlyList<InputError> errors)
    {
        errors = [];
        if (given is null)
        {
            chain = ThermometerChain.Plain;
            return true;
        }

        if (ThermometerPresets.TryFind(given, day, out chain))
        {
            return true;
        }

        if (File.Exists(given))
        {
            return TryRead(given, out chain, out errors);
        }

        errors = [new(Option, $"'{given}' is neither a file nor one of {string.Join(", ", ThermometerPresets.Names)}")];
        return false;
    }

    /// <summary>Reads a chain document; the errors name the file, the key and what is allowed.</summary>
    public static bool TryRead(string path, [NotNullWhen(true)] out ThermometerChain? chain, out IReadOnlyList<InputError> errors)
    {
        chain = null;
        try
        {
            using var stream = File.OpenRead(path);
            if (stream.Length > ConfigFile.LargestBytes)
            {
                errors = [new(path, $"the file has {stream.Length} bytes; allowed: up to {ConfigFile.LargestBytes}")];
                return false;
            }

            using var reader = new StreamReader(stream, new UTF8Encoding(false, throwOnInvalidBytes: true));
            var read = ThermometerChainFile.TryParse(reader.ReadToEnd(), out chain, out errors);
            errors = [.. errors.Select(error => ConfigFile.In(path, error))];
            return read;
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
}
