using System.Net;

namespace Acquire.Service.Configuration;

/// <summary>The files of the `influx` section: where they are, and what a person should know of them.</summary>
internal static class InfluxFiles
{
    private const int MostTokenBytes = 4096;

    /// <summary>The section with full paths; relative ones start in the folder of the configuration.</summary>
    public static InfluxConfig? Resolve(InfluxConfig? influx, string folder) => influx is null ? null : influx with
    {
        TokenFile = influx.TokenFile is null ? null : Path.Combine(folder, influx.TokenFile),
        CaFile = influx.CaFile is null ? null : Path.Combine(folder, influx.CaFile),
    };

    /// <summary>The token as it is now; null where none is configured. It is read anew for each connection, so that a renewed one is taken.</summary>
    /// <param name="influx">Where it is.</param>
    /// <param name="mistake">Why it cannot be had; null where it can, or none is configured. Never what was read.</param>
    public static string? ReadToken(InfluxConfig influx, out string? mistake)
    {
        mistake = null;
        if (influx.TokenVariable is { } variable)
        {
            return Checked(Environment.GetEnvironmentVariable(variable), $"influx.tokenVariable: the environment variable {variable}", out mistake);
        }

        if (influx.TokenFile is not { } file)
        {
            return null;
        }

        try
        {
            if (new FileInfo(file) is { Exists: true, Length: > MostTokenBytes })
            {
                mistake = $"influx.tokenFile: {file} is longer than {MostTokenBytes} bytes and holds more than a token";
                return null;
            }

            return Checked(File.ReadAllText(file), $"influx.tokenFile: the file {file}", out mistake);
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            mistake = $"influx.tokenFile: the token cannot be read: {exception.Message}";
            return null;
        }
    }

    /// <summary>What a person should know before the section is used, a sentence each with its key; empty where there is nothing.</summary>
    public static IReadOnlyList<string> Warnings(InfluxConfig influx)
    {
        var warnings = new List<string>();
        var token = ReadToken(influx, out var mistake);
        if (mistake is not null)
        {
            warnings.Add($"{mistake}. Nothing is sent until it can be.");
        }

        if (influx.TokenFile is { } file && IsOpenToAll(file))
        {
            warnings.Add($"influx.tokenFile: {file} can be read or changed by every user of this computer, and with it the bucket; take that right away (chmod 600 {file}).");
        }

        if (token is not null && influx.Url.Scheme == Uri.UriSchemeHttp && !IsLoopback(influx.Url))
        {
            warnings.Add("influx.url: the token and the readings go over the network without encryption; use https://.");
        }

        if (influx.CaFile is { } ca && !File.Exists(ca))
        {
            warnings.Add($"influx.caFile: there is no file {ca}. Nothing is sent until there is.");
        }

        return warnings;
    }

    private static bool IsOpenToAll(string file)
    {
        try
        {
            return !OperatingSystem.IsWindows() && File.Exists(file) && (File.GetUnixFileMode(file) & (UnixFileMode.OtherRead | UnixFileMode.OtherWrite)) != 0;
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            return false; // gone, or out of reach: told as a token that cannot be read
        }
    }

    private static bool IsLoopback(Uri url) => url.IsLoopback || (IPAddress.TryParse(url.Host.Trim('[', ']'), out var address) && IPAddress.IsLoopback(address));

    // A token goes into a header: what does not fit there would break the request, or add to it.
    private static string? Checked(string? text, string where, out string? mistake)
    {
        var token = text?.Trim();
        mistake = string.IsNullOrEmpty(token) ? $"{where} holds no token"
            : token.Any(character => character is <= ' ' or > '~') ? $"{where} holds something else than a token: allowed are printable ASCII characters without blanks, on one line"
            : null;
        return mistake is null ? token : null;
    }
}
