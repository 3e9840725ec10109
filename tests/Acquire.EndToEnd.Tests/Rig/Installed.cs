using Xunit;

namespace Acquire.EndToEnd.Tests.Rig;

internal static partial class Installed
{
    /// <summary>Where a program is; the test is skipped, with the reason, where it is not installed.</summary>
    public static string Program(string name, string what)
    {
        var path = Find(name);
        Assert.SkipUnless(path is not null, $"{name} is not installed: {what}");
        return path!;
    }
}
