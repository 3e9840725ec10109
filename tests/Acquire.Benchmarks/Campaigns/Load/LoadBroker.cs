using Acquire.EndToEnd.Tests.Rig;

namespace Acquire.Benchmarks.Campaigns.Load;

/// <summary>A broker of another make in a process of its own.</summary>
internal static class LoadBroker
{
    /// <summary>Starts it and waits until it listens.</summary>
    /// <exception cref="InvalidOperationException">It is not installed, or ended.</exception>
    public static async Task<ChildProcess> StartAsync(TestFolder folder, int port)
    {
        var program = Installed.Find("mosquitto") ?? throw new InvalidOperationException("mosquitto is not installed.");
        var broker = ChildProcess.Start(program, ["-c", Mosquitto.Configure(folder, port)]);
        while (!Installed.Listens(port))
        {
            if (broker.HasEnded)
            {
                throw new InvalidOperationException($"mosquitto ended: {broker.Error}");
            }

            await Task.Delay(TimeSpan.FromMilliseconds(50), TimeProvider.System);
        }

        return broker;
    }
}
