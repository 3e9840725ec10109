namespace Acquire.Service.Archive.Bundles;

/// <summary>The files that a bundle may hold, in their order, and how large it may be.</summary>
internal static class BundleFiles
{
    /// <summary>What the bundle is of, and the digests of the other files.</summary>
    public const string Manifest = "manifest.json";

    /// <summary>The run's records as the archive digests them.</summary>
    public const string Records = "records.bin";

    /// <summary>The place of each record in the chain.</summary>
    public const string Links = "links.bin";

    /// <summary>All links from the run's first to the head: shows that the run belongs under that head.</summary>
    public const string Witness = "witness.bin";

    /// <summary>What the wire said during the run.</summary>
    public const string Wire = "wire.txt";

    /// <summary>The whole run, for people and their programs.</summary>
    public const string Run = "run.json";

    /// <summary>The readings, likewise.</summary>
    public const string Readings = "readings.csv";

    /// <summary>The facts, likewise.</summary>
    public const string Events = "events.csv";

    /// <summary>What a person entered, likewise.</summary>
    public const string Observations = "observations.csv";

    /// <summary>The method, as a file of a methods folder.</summary>
    public const string Method = "method.json";

    /// <summary>The thermometer chain, as `acquire replay` reads it.</summary>
    public const string Thermometer = "thermometer.json";

    /// <summary>Who signed the manifest.</summary>
    public const string Signature = "signature.json";

    /// <summary>Largest bundle, bytes.</summary>
    public const int MostBytes = 256 * 1024 * 1024;

    /// <summary>Most bytes of all files of a bundle together.</summary>
    public const long MostUnpackedBytes = 1024L * 1024 * 1024;

    /// <summary>Why a bundle of these files is neither made nor read; null where it is. Asked by both, so that none is made that nobody can take in.</summary>
    public static string? WhyTooLarge(IEnumerable<BundleEntry> entries) =>
        entries.Sum(entry => (long)entry.Length) is > MostUnpackedBytes and var bytes ? $"its files have {bytes} bytes together; those of a bundle have at most {MostUnpackedBytes}" : null;

    /// <summary>All of them, in their order.</summary>
    public static IReadOnlyList<string> All { get; } = [Manifest, Records, Links, Witness, Wire, Run, Readings, Events, Observations, Method, Thermometer, Signature];
}
