using System.Diagnostics.CodeAnalysis;
using System.Net;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads the address of the page, from the file or from the command line.</summary>
internal static class ListenAddress
{
    public const string Default = "http://127.0.0.1:5080";
    public const string Allowed = "an address such as " + Default + ", with a port from 0 to 65535 and no path; 0 takes a free port and needs a numeric address";

    /// <summary>Takes http addresses without path, user and fragment; a free port only with a numeric address, because a name may mean two of them.</summary>
    public static bool TryParse(string text, [NotNullWhen(true)] out Uri? address) =>
        Uri.TryCreate(text, UriKind.Absolute, out address) && address.Scheme == Uri.UriSchemeHttp
        && address.PathAndQuery == "/" && address.Fragment.Length == 0 && address.UserInfo.Length == 0
        && (address.Port != 0 || IPAddress.TryParse(address.DnsSafeHost, out _));
}
