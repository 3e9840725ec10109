namespace Acquire.Service.Configuration;

/// <summary>The description of `acquire.json` for editors and other programs: JSON Schema, draft 2020-12.</summary>
/// <remarks>It says less than <see cref="ConfigFile"/>: whether parts contradict each other, and what comments may stand where, only the reader knows.</remarks>
public static class ConfigSchema
{
    private static readonly Lazy<string> Loaded = new(Load);

    /// <summary>The schema.</summary>
    public static string Text => Loaded.Value;

    private static string Load()
    {
        using var reader = new StreamReader(typeof(ConfigSchema).Assembly.GetManifestResourceStream("acquire.schema.json")!);
        return reader.ReadToEnd();
    }
}
