namespace Acquire.Core.Methods;

/// <summary>The description of a method file for editors and other programs: JSON Schema, draft 2020-12.</summary>
/// <remarks>It says less than <see cref="MethodFile"/>: whether figures contradict each other only the reader knows.</remarks>
public static class MethodSchema
{
    private static readonly Lazy<string> Loaded = new(Load);

    /// <summary>The schema.</summary>
    public static string Text => Loaded.Value;

    private static string Load()
    {
        using var reader = new StreamReader(typeof(MethodSchema).Assembly.GetManifestResourceStream("method.schema.json")!);
        return reader.ReadToEnd();
    }
}
