namespace Acquire.EndToEnd.Tests.Rig;

/// <summary>A new folder under the system's temporary folder, gone with the test.</summary>
internal sealed class TestFolder : IDisposable
{
    /// <summary>The folder.</summary>
    public string Path { get; } = Directory.CreateTempSubdirectory("acquire-e2e-").FullName;

    /// <summary>A file or folder in it.</summary>
    public string this[string name] => System.IO.Path.Combine(Path, name);

    /// <summary>Writes a file and returns its path.</summary>
    public string Write(string name, string text)
    {
        File.WriteAllText(this[name], text);
        return this[name];
    }

    /// <inheritdoc/>
    public void Dispose() => Directory.Delete(Path, recursive: true);
}
