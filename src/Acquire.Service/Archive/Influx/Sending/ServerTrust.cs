using System.Globalization;
using System.Net.Security;
using System.Security.Cryptography.X509Certificates;
using Acquire.Service.Configuration;
using Acquire.Service.Sources.Mqtt;

namespace Acquire.Service.Archive.Influx.Sending;

/// <summary>Decides whether the certificate of the server is accepted, and keeps in words why not.</summary>
internal sealed class ServerTrust(InfluxConfig influx, TimeProvider time)
{
    /// <summary>Why the newest certificate was refused; null where it was not, or none was shown yet.</summary>
    public string? Refusal { get; private set; }

    /// <summary>Forgets an earlier refusal.</summary>
    public void Forget() => Refusal = null;

    /// <summary>Judges a certificate.</summary>
    public bool Accepts(X509Certificate? shown, X509Chain? sent, SslPolicyErrors errors)
    {
        Refusal = Judge(shown as X509Certificate2, sent, errors);
        return Refusal is null;
    }

    private string? Judge(X509Certificate2? certificate, X509Chain? sent, SslPolicyErrors errors)
    {
        var now = time.GetUtcNow();
        return certificate is null ? "it shows none"
            : now > certificate.NotAfter.ToUniversalTime()
                ? string.Create(CultureInfo.InvariantCulture, $"it expired at {certificate.NotAfter.ToUniversalTime():yyyy-MM-dd HH:mm} UTC; give the server a new one, or set the clock of this computer if it is wrong")
            : now < certificate.NotBefore.ToUniversalTime()
                ? string.Create(CultureInfo.InvariantCulture, $"it holds only from {certificate.NotBefore.ToUniversalTime():yyyy-MM-dd HH:mm} UTC; check the clock of this computer")
            : errors.HasFlag(SslPolicyErrors.RemoteCertificateNameMismatch)
                ? $"it is for another name ({JsonText.Shown(certificate.Subject)}); use the name that stands in it in influx.url"
            : influx.CaFile is { } file ? JudgeBy(file, certificate, sent)
            : errors == SslPolicyErrors.None ? null
            : "no authority that this computer trusts vouches for it; give influx.caFile";
    }

    private string? JudgeBy(string file, X509Certificate2 certificate, X509Chain? sent)
    {
        if (!CertificateStore.TryReadAuthorities(file, out var authorities, out var mistake))
        {
            return $"influx.caFile: {mistake}";
        }

        using var chain = new X509Chain();
        chain.ChainPolicy.TrustMode = X509ChainTrustMode.CustomRootTrust;
        chain.ChainPolicy.CustomTrustStore.AddRange(authorities);
        chain.ChainPolicy.RevocationMode = X509RevocationMode.NoCheck;
        chain.ChainPolicy.VerificationTime = time.GetUtcNow().UtcDateTime;
        foreach (var element in sent?.ChainElements ?? Enumerable.Empty<X509ChainElement>())
        {
            chain.ChainPolicy.ExtraStore.Add(element.Certificate);
        }

        var trusted = chain.Build(certificate);
        foreach (var authority in authorities)
        {
            authority.Dispose();
        }

        return trusted ? null : $"no authority in influx.caFile vouches for it ({string.Join(", ", chain.ChainStatus.Select(status => status.Status))})";
    }
}
