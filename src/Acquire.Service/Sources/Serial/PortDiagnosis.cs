using System.IO.Ports;

namespace Acquire.Service.Sources.Serial;

/// <summary>Says in words why a port cannot be opened or was lost, and what to do.</summary>
public static class PortDiagnosis
{
    // errno of Linux; the library hands them through as the code of the inner exception.
    // The very first opening of a process shows another code, because loading the native library changes it; the next attempt is right.
    private const int NotPermitted = 1;
    private const int Denied = 13;
    private const int Busy = 16;
    private const int NotATerminal = 25;

    /// <summary>Whether the port's device is there.</summary>
    public static bool IsThere(string port) => OperatingSystem.IsWindows()
        ? SerialPort.GetPortNames().Contains(port, StringComparer.OrdinalIgnoreCase)
        : File.Exists(port);

    /// <summary>Why opening failed.</summary>
    /// <param name="port">The port.</param>
    /// <param name="isThere">Whether its device is there.</param>
    /// <param name="exception">What the library threw: for a missing and a forbidden port it is the same type.</param>
    public static string ExplainOpen(string port, bool isThere, Exception exception)
    {
        ArgumentNullException.ThrowIfNull(exception);
        if (!isThere)
        {
            return $"{port} is not there: plug the tester in and switch it on";
        }

        if (exception is NotSupportedException)
        {
            return exception.Message;
        }

        return ((exception.InnerException ?? exception).HResult, exception) switch
        {
            (NotPermitted or Denied, _) => $"no permission to open {port}: add the service's user to the group dialout (usermod -aG dialout USER) and restart the service",
            (Busy, _) => $"{port} is in use by another program: end that program",
            (NotATerminal, _) => $"{port} is not a serial port: check source.port",
            (_, UnauthorizedAccessException) => $"{port} is in use by another program, or the service has no permission: {exception.Message}",
            (_, ArgumentException) => $"{port} does not accept its settings (baudRate, dataBits, parity, stopBits): {exception.Message}",
            _ => $"{port} cannot be opened: {exception.Message}",
        };
    }

    /// <summary>Why an open port was lost.</summary>
    /// <param name="port">The port.</param>
    /// <param name="isThere">Whether its device is still there.</param>
    /// <param name="exception">What ended the reading; null where the port stated its end.</param>
    public static string ExplainLoss(string port, bool isThere, Exception? exception) => isThere
        ? $"{port} was lost ({exception?.Message ?? "end of data"}): check the cable and the tester's power"
        : $"{port} was unplugged: plug it in again";
}
