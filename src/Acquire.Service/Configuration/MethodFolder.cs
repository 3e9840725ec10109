using System.Diagnostics.CodeAnalysis;
using System.Text;
using Acquire.Core;
using Acquire.Core.Methods;

namespace Acquire.Service.Configuration;

/// <summary>Reads the laboratory's own methods from a folder. One broken file refuses them all: a run must not be ruled by what a person believes is another method.</summary>
public static class MethodFolder
{
    /// <summary>Most files that are read.</summary>
    public const int MostFiles = 500;

    /// <summary>Reads every `.json` file of a folder, in the order of their names.</summary>
    /// <param name="folder">The folder.</param>
    /// <param name="methods">The methods of the program and of the folder; null after a mistake.</param>
    /// <param name="errors">Every mistake, with its file, its key and what is allowed.</param>
    public static bool TryRead(string folder, [NotNullWhen(true)] out MethodSet? methods, out IReadOnlyList<InputError> errors)
    {
        methods = null;
        try
        {
            string[] paths = [.. Directory.EnumerateFiles(folder, "*.json").Order(StringComparer.Ordinal).Take(MostFiles + 1)];
            if (paths.Length > MostFiles)
            {
                errors = [new(folder, $"holds more than {MostFiles} method files")];
                return false;
            }

            var files = new List<(string, string)>();
            var unread = new List<InputError>();
            foreach (var path in paths)
            {
                if (TryReadText(path, out var text, out var error))
                {
                    files.Add((path, text));
                }
                else
                {
                    unread.Add(error);
                }
            }

            _ = MethodSet.TryMake(files, out methods, out errors);
            errors = [.. unread, .. errors];
            methods = errors.Count == 0 ? methods : null;
            return methods is not null;
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            errors = [new(folder, $"the folder cannot be read: {exception.Message}")];
            return false;
        }
    }

    /// <summary>Reads the text of one file.</summary>
    public static bool TryReadText(string path, [NotNullWhen(true)] out string? text, [NotNullWhen(false)] out InputError? error)
    {
        (text, error) = (null, null);
        try
        {
            using var stream = File.OpenRead(path);
            if (stream.Length > ConfigFile.LargestBytes)
            {
                error = new(path, $"the file has {stream.Length} bytes; allowed: up to {ConfigFile.LargestBytes}");
                return false;
            }

            using var reader = new StreamReader(stream, new UTF8Encoding(false, throwOnInvalidBytes: true));
            text = reader.ReadToEnd();
            return true;
        }
        catch (DecoderFallbackException)
        {
            error = new(path, "the file is not UTF-8 text");
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            error = new(path, $"the file cannot be read: {exception.Message}");
        }

        return false;
    }
}
