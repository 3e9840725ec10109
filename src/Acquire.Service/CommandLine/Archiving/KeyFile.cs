using System.Diagnostics.CodeAnalysis;
using System.Security.Cryptography;
using Acquire.Core;

namespace Acquire.Service.CommandLine.Archiving;

/// <summary>Keys as PEM files: ECDSA on the curve P-256.</summary>
internal static class KeyFile
{
    private const string P256 = "1.2.840.10045.3.1.7";
    private const int MostBytes = 16 * 1024;

    /// <summary>Makes a pair: the private key in a file that only its owner may read, the public key beside it.</summary>
    /// <returns>Path of the public key.</returns>
    /// <exception cref="IOException">A file is there already, or cannot be written.</exception>
    public static string Make(string path)
    {
        var publicPath = Path.ChangeExtension(path, ".public.pem");
        if (File.Exists(publicPath))
        {
            throw new IOException($"The file '{publicPath}' already exists.");
        }

        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var options = new FileStreamOptions { Mode = FileMode.CreateNew, Access = FileAccess.Write };
        if (!OperatingSystem.IsWindows())
        {
            options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
        }

        using (var file = new StreamWriter(path, options))
        {
            file.WriteLine(key.ExportPkcs8PrivateKeyPem());
        }

        using var publicFile = new StreamWriter(publicPath, new FileStreamOptions { Mode = FileMode.CreateNew, Access = FileAccess.Write });
        publicFile.WriteLine(key.ExportSubjectPublicKeyInfoPem());
        return publicPath;
    }

    /// <summary>Whether a file lies in a folder or below it: a key that lies beside what it signs proves nothing.</summary>
    public static bool LiesIn(string file, string folder) =>
        Path.GetRelativePath(folder, Path.GetFullPath(file)) is var relative && !Path.IsPathRooted(relative) && !relative.StartsWith("..", StringComparison.Ordinal);

    /// <summary>Reads a key. False, with what is wrong, where the file holds none.</summary>
    /// <param name="path">The file.</param>
    /// <param name="toSign">Whether the private key is needed.</param>
    /// <param name="key">The key; the caller disposes of it.</param>
    /// <param name="error">What is wrong; what the file holds is never repeated.</param>
    public static bool TryRead(string path, bool toSign, [NotNullWhen(true)] out ECDsa? key, [NotNullWhen(false)] out InputError? error)
    {
        key = null;
        var allowed = toSign ? "a private key on the curve P-256, unencrypted PEM, as acquire archive key makes it" : "a public key on the curve P-256, PEM, as acquire archive key makes it";
        var read = ECDsa.Create();
        try
        {
            if (new FileInfo(path) is { Exists: true, Length: <= MostBytes })
            {
                read.ImportFromPem(File.ReadAllText(path));
                if (read.ExportParameters(includePrivateParameters: toSign).Curve.Oid?.Value == P256)
                {
                    (key, error) = (read, null);
                    return true;
                }
            }

            error = new(path, $"is not the key that is needed; allowed: {allowed}");
        }
        catch (Exception exception) when (exception is ArgumentException or CryptographicException)
        {
            error = new(path, $"is not the key that is needed; allowed: {allowed}");
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            error = new(path, $"cannot be read: {exception.Message}");
        }

        read.Dispose();
        return false;
    }
}
