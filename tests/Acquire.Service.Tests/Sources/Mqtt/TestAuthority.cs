using System.Net;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;

namespace Acquire.Service.Tests.Sources.Mqtt;

/// <summary>An authority of its own that vouches for brokers and services in tests. Nothing of it is trusted anywhere else.</summary>
internal sealed class TestAuthority : IDisposable
{
    private readonly RSA _key = RSA.Create(2048);
    private readonly X509Certificate2 _root;
    private byte _serial;

    public TestAuthority()
    {
        var request = new CertificateRequest("CN=Authority of a test", _key, HashAlgorithmName.SHA256, RSASignaturePadding.Pkcs1);
        request.CertificateExtensions.Add(new X509BasicConstraintsExtension(true, false, 0, true));
        request.CertificateExtensions.Add(new X509KeyUsageExtension(X509KeyUsageFlags.KeyCertSign | X509KeyUsageFlags.CrlSign, true));
        _root = request.CreateSelfSigned(Now.AddDays(-30), Now.AddDays(30));
    }

    private static DateTimeOffset Now => TimeProvider.System.GetUtcNow();

    /// <summary>Writes ca.pem into a folder.</summary>
    public string WriteRoot(string folder, string name = "ca")
    {
        var file = Path.Combine(folder, name + ".pem");
        File.WriteAllText(file, _root.ExportCertificatePem());
        return file;
    }

    /// <summary>Writes a certificate and its key, NAME.pem and NAME.key, and returns its SHA-256.</summary>
    /// <param name="folder">Where to.</param>
    /// <param name="name">Name of the files, and of the subject.</param>
    /// <param name="from">Days from now when it begins to hold.</param>
    /// <param name="until">Days from now when it ends.</param>
    /// <param name="host">The host it is for.</param>
    public string Write(string folder, string name, double from = -1, double until = 1, string host = "127.0.0.1")
    {
        using var key = RSA.Create(2048);
        var request = new CertificateRequest("CN=" + name, key, HashAlgorithmName.SHA256, RSASignaturePadding.Pkcs1);
        var names = new SubjectAlternativeNameBuilder();
        if (IPAddress.TryParse(host, out var address))
        {
            names.AddIpAddress(address);
        }
        else
        {
            names.AddDnsName(host);
        }

        request.CertificateExtensions.Add(names.Build());
        using var certificate = request.Create(_root, Now.AddDays(from), Now.AddDays(until), [++_serial]);
        File.WriteAllText(Path.Combine(folder, name + ".pem"), certificate.ExportCertificatePem());
        File.WriteAllText(Path.Combine(folder, name + ".key"), key.ExportPkcs8PrivateKeyPem());
        return certificate.GetCertHashString(HashAlgorithmName.SHA256);
    }

    public void Dispose()
    {
        _root.Dispose();
        _key.Dispose();
    }
}
