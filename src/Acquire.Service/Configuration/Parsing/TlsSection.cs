namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads certificates: whom to trust, and who the service is. The files themselves are opened once the folder of the configuration is known.</summary>
internal static class TlsSection
{
    private const int LongestPath = 4096;
    private const string CertificateKey = "certificateFile";
    private const string KeyKey = "keyFile";

    /// <summary>The broker's own certificate.</summary>
    public static CertificateFiles ReadServer(ConfigObject section)
    {
        var files = new CertificateFiles(section.Text(CertificateKey, null, LongestPath) ?? "", section.Text(KeyKey, null, LongestPath) ?? "");
        section.RefuseUnknownKeys();
        return files;
    }

    /// <summary>What is expected of a broker elsewhere, and what is shown to it.</summary>
    public static BrokerTls ReadClient(ConfigObject section)
    {
        var ca = section.Gives("caFile") ? section.Text("caFile", null, LongestPath) : null;
        var pinned = section.Gives("pinnedSha256") ? ReadPin(section) : null;
        if (ca is not null && pinned is not null)
        {
            section.Refuse("pinnedSha256", "is given beside \"caFile\"; allowed: one of them. A pinned certificate needs no authority");
        }

        CertificateFiles? client = null;
        if (section.Gives(CertificateKey) || section.Gives(KeyKey))
        {
            client = new(section.Text(CertificateKey, null, LongestPath) ?? "", section.Text(KeyKey, null, LongestPath) ?? "");
        }

        section.RefuseUnknownKeys();
        return new() { CaFile = ca, PinnedSha256 = pinned, Client = client };
    }

    private static string? ReadPin(ConfigObject section)
    {
        const string Key = "pinnedSha256";
        const string Allowed = "the SHA-256 fingerprint of the broker's certificate, 64 hexadecimal digits, colons between them or not";
        var text = section.Text(Key, null, 95, Allowed);
        var digits = text?.Replace(":", "", StringComparison.Ordinal);
        if (digits is null || (digits.Length == 64 && digits.All(char.IsAsciiHexDigit)))
        {
            return digits?.ToUpperInvariant();
        }

        section.Refuse(Key, $"given \"{JsonText.Shown(text!)}\"; allowed: {Allowed}");
        return null;
    }
}
