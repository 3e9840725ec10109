namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads where the archive is handed on to.</summary>
internal static class InfluxSection
{
    private const string AllowedUrl = "the address of a server such as http://127.0.0.1:8086 or https://influx.example, without user, question mark and number sign";
    private const int LongestPath = 4096;
    private const int LongestName = 200;

    public static InfluxConfig? Read(ConfigObject root)
    {
        if (root.Section("influx", optional: true) is not { } section)
        {
            return null;
        }

        section.Forbid("token", "the value is not repeated here. A token does not belong in this file, which is shown, copied and sent around; allowed: \"tokenFile\" or \"tokenVariable\", which name where it is");
        section.Forbid("precision", "timestamps are always nanoseconds; allowed: no such key");
        var config = new InfluxConfig
        {
            Url = ReadUrl(section),
            Org = section.Text("org", null, LongestName) ?? "",
            Bucket = section.Text("bucket", null, LongestName) ?? "",
            TokenFile = section.Gives("tokenFile") ? section.Text("tokenFile", null, LongestPath) : null,
            TokenVariable = section.Gives("tokenVariable") ? ReadVariable(section) : null,
            CaFile = section.Gives("caFile") ? section.Text("caFile", null, LongestPath) : null,
            BatchLines = section.Whole("batchLines", 1, InfluxConfig.MostBatchLines, InfluxConfig.MostBatchLines),
            TimeoutSeconds = section.Whole("timeoutSeconds", 1, 120, InfluxConfig.UsualTimeoutSeconds),
            LagAlarmSeconds = section.Whole("lagAlarmSeconds", 10, 86_400, InfluxConfig.UsualLagAlarmSeconds),
        };
        if (config is { TokenFile: not null, TokenVariable: not null })
        {
            section.Refuse("tokenVariable", "is given beside \"tokenFile\"; allowed: one of them");
        }

        if (config.CaFile is not null && config.Url.Scheme != Uri.UriSchemeHttps)
        {
            section.Refuse("caFile", "is given, but the address is http://, without TLS; allowed: https://, or no such key");
        }

        section.RefuseUnknownKeys();
        return config;
    }

    private static Uri ReadUrl(ConfigObject section)
    {
        var fallback = new Uri("http://127.0.0.1:8086/");
        if (section.Text("url", null, 2000, AllowedUrl, secret: true) is not { } text)
        {
            return fallback;
        }

        if (!Uri.TryCreate(text, UriKind.Absolute, out var url) || url.Scheme is not ("http" or "https") || url.Host.Length == 0 || url.UserInfo.Length > 0 || url.Query.Length > 0 || url.Fragment.Length > 0)
        {
            section.Refuse("url", $"the value is not repeated here, it may hold a password; allowed: {AllowedUrl}");
            return fallback;
        }

        // Paths are put behind it: without the stroke at its end the last part of a path would be replaced.
        return url.AbsolutePath.EndsWith('/') ? url : new Uri(url.AbsoluteUri + "/");
    }

    private static string? ReadVariable(ConfigObject section)
    {
        const string Allowed = "the name of an environment variable: 1 to 80 letters, digits and underscores, not a digit first";
        var name = section.Text("tokenVariable", null, 80, Allowed);
        if (name is null || (!char.IsAsciiDigit(name[0]) && name.All(character => char.IsAsciiLetterOrDigit(character) || character == '_')))
        {
            return name;
        }

        section.Refuse("tokenVariable", $"the value is not repeated here, it may be the token itself; allowed: {Allowed}");
        return null;
    }
}
