using System.Globalization;
using Acquire.Service.Sources.Capture;

namespace Acquire.Service.Archive.Bundles;

/// <summary>What the wire said in a run, for its bundle.</summary>
internal static class BundleWire
{
    /// <summary>All of it; null bytes where nothing was kept. With a fault where it cannot be read, or is more than a bundle may hold.</summary>
    public static async Task<(byte[]? Bytes, string? Fault)> ReadAsync(CaptureFolder captures, string run, CancellationToken cancellationToken)
    {
        if (captures.SizeOf(run) is > BundleFiles.MostUnpackedBytes and var bytes)
        {
            return (null, string.Create(CultureInfo.InvariantCulture, $"what its wire said has {bytes} bytes; the files of a bundle have at most {BundleFiles.MostUnpackedBytes} together. Bundle it without"));
        }

        try
        {
            if (captures.Open(run) is not { } parts)
            {
                return (null, null);
            }

            await using (parts.ConfigureAwait(false))
            {
                using var whole = new MemoryStream();
                await parts.WriteAsync(whole, cancellationToken).ConfigureAwait(false);
                return (whole.ToArray(), null);
            }
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            return (null, $"what its wire said cannot be read: {exception.Message}");
        }
    }
}
