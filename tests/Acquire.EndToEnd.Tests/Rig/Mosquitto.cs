namespace Acquire.EndToEnd.Tests.Rig;

internal static partial class Mosquitto
{
    /// <summary>Starts it and waits until it listens; skips the test where it is not installed.</summary>
    public static async Task<ChildProcess> StartAsync(TestFolder folder, int port)
    {
        var program = Installed.Program("mosquitto", "without it there is no broker of another make to test with");
        var process = ChildProcess.Start(program, ["-c", Configure(folder, port)]);
        await Waiting.UntilAsync(() => process.HasEnded || Installed.Listens(port), "the broker");
        return process;
    }
}
