using System.Globalization;
using System.Net.Security;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using Acquire.Service.Configuration;

namespace Acquire.Service.Sources.Mqtt;

/// <summary>Decides whether the certificate that a broker shows is accepted, and keeps in words why not. One for each attempt to connect.</summary>
/// <param name="tls">Whom to trust; null for the authorities of the machine.</param>
/// <param name="authorities">Those of the file; empty where there is none.</param>
/// <param name="time">Clock for what has expired.</param>
public sealed class BrokerTrust(BrokerTls? tls, X509Certificate2Collection authorities, TimeProvider time)
{
    /// <summary>Why the certificate was refused; null while it was not.</summary>
    public string? Refusal { get; private set; }

    /// <summary>Judges the certificate.</summary>
    /// <param name="shown">What the broker showed; null where it showed nothing.</param>
    /// <param name="sent">What else it sent: certificates between its own and the authority's.</param>
    /// <param name="errors">What the platform has against it, by the authorities of the machine.</param>
    public bool Accepts(X509Certificate? shown, X509Chain? sent, SslPolicyErrors errors)
    {
        Refusal = Judge(shown as X509Certificate2, sent, errors);
        return Refusal is null;
    }

    private string? Judge(X509Certificate2? certificate, X509Chain? sent, SslPolicyErrors errors)
    {
        if (certificate is null)
        {
            return "it shows none";
        }

        var now = time.GetUtcNow();
        if (now > certificate.NotAfter.ToUniversalTime())
        {
            return string.Create(CultureInfo.InvariantCulture, $"it expired at {certificate.NotAfter.ToUniversalTime():yyyy-MM-dd HH:mm} UTC; give the broker a new one, or set the clock of this computer if it is wrong");
        }

        if (now < certificate.NotBefore.ToUniversalTime())
        {
            return string.Create(CultureInfo.InvariantCulture, $"it holds only from {certificate.NotBefore.ToUniversalTime():yyyy-MM-dd HH:mm} UTC; check the clock of this computer");
        }

        if (tls?.PinnedSha256 is { } pinned)
        {
            var given = certificate.GetCertHashString(HashAlgorithmName.SHA256);
            return given == pinned ? null : $"its SHA-256 is {given}, not the one in mqtt.tls.pinnedSha256. Somebody gave the broker a new certificate, or this is another broker";
        }

        if (errors.HasFlag(SslPolicyErrors.RemoteCertificateNameMismatch))
        {
            return $"it is for another name ({JsonText.Shown(certificate.Subject)}); connect by the name that stands in it";
        }

        return tls?.CaFile is not null ? JudgeByAuthorities(certificate, sent)
            : errors == SslPolicyErrors.None ? null
            : "no authority that this computer trusts vouches for it; give mqtt.tls.caFile or mqtt.tls.pinnedSha256";
    }

    private string? JudgeByAuthorities(X509Certificate2 certificate, X509Chain? sent)
    {
        using var chain = new X509Chain();
        chain.ChainPolicy.TrustMode = X509ChainTrustMode.CustomRootTrust;
        chain.ChainPolicy.CustomTrustStore.AddRange(authorities);
        chain.ChainPolicy.RevocationMode = X509RevocationMode.NoCheck;
        chain.ChainPolicy.VerificationTime = time.GetUtcNow().UtcDateTime;
        foreach (var element in sent?.ChainElements ?? Enumerable.Empty<X509ChainElement>())
        {
            chain.ChainPolicy.ExtraStore.Add(element.Certificate);
        }

        return chain.Build(certificate) ? null
            : $"no authority in mqtt.tls.caFile vouches for it ({string.Join(", ", chain.ChainStatus.Select(status => status.Status))})";
    }
}
