namespace Acquire.Service.Configuration;

/// <summary>A certificate with its private key, both PEM.</summary>
/// <param name="CertificateFile">The certificate, and those between it and the authority; relative to the folder of the configuration.</param>
/// <param name="KeyFile">Its private key, not encrypted.</param>
public sealed record CertificateFiles(string CertificateFile, string KeyFile);

/// <summary>How the certificate of a broker is checked, and which one the service shows.</summary>
public sealed record BrokerTls
{
    /// <summary>Authorities that alone may vouch for the broker, PEM; null for those of the machine.</summary>
    public string? CaFile { get; init; }

    /// <summary>SHA-256 of the one certificate that is accepted, 64 hexadecimal digits in capitals; null for any that an authority vouches for.</summary>
    public string? PinnedSha256 { get; init; }

    /// <summary>Certificate of the service; null for none.</summary>
    public CertificateFiles? Client { get; init; }
}
