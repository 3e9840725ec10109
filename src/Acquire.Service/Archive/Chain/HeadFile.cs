using System.Buffers.Text;
using System.Text;
using System.Text.Json;
using System.Text.Json.Serialization;
using Acquire.Core;

namespace Acquire.Service.Archive.Chain;

/// <summary>A head as a file for a witness: JSON.</summary>
public static class HeadFile
{
    private const string Format = "acquire-archive-head-1";
    private const int MostBytes = 16 * 1024;
    private const int MostArchiveCharacters = 64;

    private static readonly JsonSerializerOptions Options = new(JsonSerializerDefaults.Web)
    {
        WriteIndented = true,
        AllowDuplicateProperties = false,
        PropertyNameCaseInsensitive = false,
        UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
        NumberHandling = JsonNumberHandling.Strict,
        DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    };

    /// <summary>The text of the file.</summary>
    public static string Write(ArchiveHead head)
    {
        ArgumentNullException.ThrowIfNull(head);
        return JsonSerializer.Serialize(new Body(Format, head.Archive, head.Link, Convert.ToHexStringLower(head.Digest.Span), head.Signature is { } signature ? Convert.ToBase64String(signature.Span) : null), Options) + "\n";
    }

    /// <summary>Writes the file; never half a head in place of a whole one. Throws <see cref="IOException"/> and <see cref="UnauthorizedAccessException"/>.</summary>
    public static void Save(ArchiveHead head, string path)
    {
        var begun = path + ".partial";
        File.WriteAllText(begun, Write(head));
        File.Move(begun, path, overwrite: true);
    }

    /// <summary>Reads a file from outside. Null, with what is wrong, where it is no head.</summary>
    public static ArchiveHead? TryRead(string path, out InputError? error)
    {
        try
        {
            if (new FileInfo(path) is { Exists: true, Length: > MostBytes } large)
            {
                error = new(path, $"has {large.Length} bytes; a head has at most {MostBytes}");
                return null;
            }

            return TryParse(File.ReadAllText(path, Encoding.UTF8), path, out error);
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            error = new(path, $"cannot be read: {exception.Message}");
            return null;
        }
    }

    /// <summary>Reads the text of a file. Null, with what is wrong, where it is no head.</summary>
    /// <param name="json">The text.</param>
    /// <param name="path">Its name, for the mistake.</param>
    /// <param name="error">What is wrong.</param>
    public static ArchiveHead? TryParse(string json, string path, out InputError? error)
    {
        Body? body = null;
        try
        {
            body = JsonSerializer.Deserialize<Body>(json, Options);
        }
        catch (JsonException)
        {
            // Told below, with what is expected.
        }

        var fault = body switch
        {
            null => "is not JSON with format, archive, link, digest and, where it is signed, signature, and nothing else",
            { Format: not Format } => $"format is not {Format}",
            { Archive: null or "" or { Length: > MostArchiveCharacters } } => $"archive is not a text of 1 to {MostArchiveCharacters} characters",
            { Archive: var archive } when !archive.All(char.IsAscii) || archive.Any(char.IsControl) => "archive is not plain ASCII",
            { Link: null or < 0 } => "link is not a whole number from 0",
            { Digest: var digest } when digest?.Length != 2 * ChainLink.DigestBytes || !digest.All(char.IsAsciiHexDigitLower) => "digest is not 64 small hexadecimal digits",
            { Signature: { } signature } when !Base64.IsValid(signature) => "signature is not base64",
            _ => null,
        };
        error = fault is null ? null : new(path, fault);
        return fault is null ? HeadOf(body!) : null;
    }

    private static ArchiveHead HeadOf(Body body)
    {
        // Not a conditional expression: an array that is null would become a signature without bytes.
        ReadOnlyMemory<byte>? signature = null;
        if (body.Signature is { } text)
        {
            signature = Convert.FromBase64String(text);
        }

        return new(body.Archive!, body.Link!.Value, Convert.FromHexString(body.Digest!), signature);
    }

    private sealed record Body(string? Format, string? Archive, long? Link, string? Digest, string? Signature);
}
