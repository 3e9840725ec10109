using System.IO.Ports;

namespace Acquire.Simulator;

/// <summary>A serial line that a simulated tester speaks on: how it is opened and put away.</summary>
internal static class SpeakingLine
{
    private static readonly TimeSpan LongestClose = TimeSpan.FromSeconds(2);

    /// <summary>Opens a port.</summary>
    /// <param name="path">Device path or port name.</param>
    /// <param name="baud">Bits per second.</param>
    public static Stream OpenPort(string path, int baud)
    {
        var port = new SerialPort(path, baud) { WriteTimeout = 2000 };
        try
        {
            port.Open();
            return port.BaseStream;
        }
        catch
        {
            port.Dispose();
            throw;
        }
    }

    /// <summary>Closes a line; nothing for null. Closing a port that was unplugged may hang (dotnet/runtime#100690), so it is given a limit and left behind.</summary>
    /// <param name="line">The line.</param>
    /// <param name="name">Its name, for a person.</param>
    /// <param name="time">Clock.</param>
    /// <param name="onTrouble">Is told what went wrong.</param>
    public static async Task CloseAsync(Stream? line, string name, TimeProvider time, Action<string>? onTrouble)
    {
        if (line is null)
        {
            return;
        }

        try
        {
            await Task.Run(line.Dispose).WaitAsync(LongestClose, time);
        }
        catch (Exception failure) when (failure is TimeoutException or IOException or InvalidOperationException)
        {
            onTrouble?.Invoke($"serial line {name}: could not be closed: {failure.Message}");
        }
    }
}
