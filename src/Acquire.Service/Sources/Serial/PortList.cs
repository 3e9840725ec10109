using System.IO.Ports;

namespace Acquire.Service.Sources.Serial;

/// <summary>A port of this machine.</summary>
/// <param name="Name">As the system numbers it; another adapter may have it after the next plug.</param>
/// <param name="LastingNames">Names that stay with the adapter.</param>
public sealed record PresentPort(string Name, IReadOnlyList<string> LastingNames);

/// <summary>Finds the ports of this machine.</summary>
public static class PortList
{
    private const string UsualFolder = "/dev/serial/by-id";

    /// <summary>The ports, each with its lasting names, in the order of their names.</summary>
    /// <param name="lastingFolder">Folder of links whose names stay with the adapters; null for that of Linux.</param>
    /// <param name="names">The ports as the system names them; null to ask it.</param>
    public static IReadOnlyList<PresentPort> Find(string? lastingFolder = null, IEnumerable<string>? names = null)
    {
        var lasting = Links(lastingFolder ?? UsualFolder);
        return [.. (names ?? SerialPort.GetPortNames()).Concat(lasting.Select(link => link.Target)).Distinct(StringComparer.Ordinal).Order(StringComparer.Ordinal)
            .Select(name => new PresentPort(name, [.. lasting.Where(link => link.Target == name).Select(link => link.Name)]))];
    }

    /// <summary>What a name stands for: the end of its links, or itself.</summary>
    public static string Resolve(string port)
    {
        try
        {
            return File.ResolveLinkTarget(port, returnFinalTarget: true)?.FullName ?? port;
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException or ArgumentException)
        {
            return port;
        }
    }

    private static List<(string Name, string Target)> Links(string folder)
    {
        try
        {
            return Directory.Exists(folder) ? [.. Directory.EnumerateFileSystemEntries(folder).Order(StringComparer.Ordinal).Select(name => (name, Resolve(name)))] : [];
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            // Pulled out while it was looked at.
            return [];
        }
    }
}
