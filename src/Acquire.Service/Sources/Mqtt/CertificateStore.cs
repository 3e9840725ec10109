using System.Diagnostics.CodeAnalysis;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using Acquire.Service.Configuration;

namespace Acquire.Service.Sources.Mqtt;

/// <summary>Reads certificates and keys from PEM files, and says in words what is wrong with one.</summary>
public static class CertificateStore
{
    /// <summary>Reads a certificate with its key and those between it and its authority, the certificate first.</summary>
    /// <param name="files">The two files.</param>
    /// <param name="certificates">What they hold; empty after a mistake. The caller disposes of them.</param>
    /// <param name="mistake">File and reason; null where it was read.</param>
    public static bool TryReadOwn(CertificateFiles files, out X509Certificate2Collection certificates, [NotNullWhen(false)] out string? mistake)
    {
        ArgumentNullException.ThrowIfNull(files);
        certificates = [];
        if (Missing(files.CertificateFile) is { } certificateMissing)
        {
            mistake = certificateMissing;
            return false;
        }

        if (Missing(files.KeyFile) is { } keyMissing)
        {
            mistake = keyMissing;
            return false;
        }

        try
        {
            using var ephemeral = X509Certificate2.CreateFromPemFile(files.CertificateFile, files.KeyFile);

            // Through PKCS #12: on Windows, TLS takes no key that was only put beside its certificate.
            certificates.Add(X509CertificateLoader.LoadPkcs12(ephemeral.Export(X509ContentType.Pkcs12), null));
            var all = new X509Certificate2Collection();
            all.ImportFromPemFile(files.CertificateFile);
            certificates.AddRange(all.Skip(1).ToArray());
            mistake = null;
            return true;
        }
        catch (Exception exception) when (exception is CryptographicException or ArgumentException or IOException or UnauthorizedAccessException)
        {
            mistake = $"'{files.CertificateFile}' and '{files.KeyFile}' are not a certificate and its key: {exception.Message}";
            return false;
        }
    }

    /// <summary>Reads the authorities that are trusted.</summary>
    /// <param name="file">PEM file with one or more certificates.</param>
    /// <param name="authorities">What it holds. The caller disposes of them.</param>
    /// <param name="mistake">File and reason; null where it was read.</param>
    public static bool TryReadAuthorities(string file, out X509Certificate2Collection authorities, [NotNullWhen(false)] out string? mistake)
    {
        authorities = [];
        mistake = Missing(file);
        if (mistake is not null)
        {
            return false;
        }

        try
        {
            authorities.ImportFromPemFile(file);
            mistake = authorities.Count > 0 ? null : $"'{file}' holds no certificate: it must be PEM, with BEGIN CERTIFICATE";
        }
        catch (Exception exception) when (exception is CryptographicException or IOException or UnauthorizedAccessException)
        {
            mistake = $"'{file}' is no list of certificates: {exception.Message}";
        }

        return mistake is null;
    }

    private static string? Missing(string file) => File.Exists(file) ? null : $"there is no file '{file}', or it may not be read";
}
