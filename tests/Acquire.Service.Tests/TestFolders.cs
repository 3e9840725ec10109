using System.Collections.Concurrent;
using Acquire.Service.Tests;
using Xunit;

[assembly: AssemblyFixture(typeof(TestFolders))]

namespace Acquire.Service.Tests;

/// <summary>Temporary folders of this project's tests. What a test left behind, because it failed or was skipped half-way, goes after the last one.</summary>
public sealed class TestFolders : IDisposable
{
    private static readonly ConcurrentBag<string> Made = [];

    /// <summary>A new folder, empty.</summary>
    public static string Make(string prefix)
    {
        var folder = Directory.CreateTempSubdirectory(prefix).FullName;
        Made.Add(folder);
        return folder;
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        foreach (var folder in Made.Where(Directory.Exists))
        {
            Directory.Delete(folder, recursive: true);
        }
    }
}
