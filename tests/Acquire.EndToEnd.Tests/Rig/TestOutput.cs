using System.Runtime.CompilerServices;
using Xunit;

namespace Acquire.EndToEnd.Tests.Rig;

/// <summary>Puts what the started programs said into the output of the test that started them.</summary>
internal static class TestOutput
{
    [ModuleInitializer]
#pragma warning disable CA2255 // The assembly of the tests is the application here: nothing else can set this before the first test.
    internal static void Begin() => ChildProcess.Teller = text => TestContext.Current.TestOutputHelper?.WriteLine(text);
#pragma warning restore CA2255
}
