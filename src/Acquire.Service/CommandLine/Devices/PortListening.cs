using Acquire.Service.Configuration;
using Acquire.Service.Sources;

namespace Acquire.Service.CommandLine.Devices;

/// <summary>Listens to a port for a moment, without a word, and says what it heard.</summary>
internal static class PortListening
{
    /// <summary>What speaks on a port.</summary>
    /// <param name="port">The port.</param>
    /// <param name="seconds">How long to listen.</param>
    /// <param name="cancellationToken">Ends it.</param>
    public static async Task<string> HearAsync(ListedPort port, double seconds, CancellationToken cancellationToken)
    {
        if (!port.IsThere)
        {
            return "NOT THERE: plug the tester in and switch it on";
        }

        var (bytes, lines, read, first, refusal, fault) = (0L, 0, 0, (string?)null, (string?)null, (string?)null);
        var source = Listening(port);
        var tap = new WireTap
        {
            Received = some => bytes += some.Length,
            Fault = text => fault ??= text,
            Line = line =>
            {
                (lines, read) = (lines + 1, read + (line.Row is null ? 0 : 1));
                first ??= WireText.Escape(line.Text.Span);
                refusal ??= line.Error?.ToString();
            },
        };
        await PortSession.RunAsync(source, tap, seconds, new TaskCompletionSource().Task, TimeProvider.System, cancellationToken).ConfigureAwait(false);
        var asked = port.Users.Any(user => user.Source is SourceConfig.Modbus or SourceConfig.Serial { Poll: not null });
        return fault is not null ? fault
            : bytes == 0 ? FormattableString.Invariant($"silent for {seconds} s at {source.BaudRate} baud{(asked ? ": its tester speaks only when it is asked, see acquire devices watch" : "")}")
            : lines == 0 ? FormattableString.Invariant($"{bytes} bytes at {source.BaudRate} baud and no whole line: check baudRate and lineEnd")
            : FormattableString.Invariant($"{lines} lines at {source.BaudRate} baud{(source.Layout is null ? "" : $", {read} read")}; the first: {first}{(refusal is null ? "" : $"; refused: {refusal}")}");
    }

    // Opened as its tester would; what is polled is not asked here.
    private static SourceConfig.Serial Listening(ListedPort port)
    {
        if (port.Users.Select(user => user.Source).OfType<SourceConfig.Serial>().FirstOrDefault() is { } known)
        {
            return known with { Poll = null };
        }

        var settings = port.Users.Select(user => user.Source).OfType<SourceConfig.Modbus>().Select(source => source.Wire).OfType<ModbusWire.Rtu>().FirstOrDefault()?.Settings;
        return PlayDevice.PlainLines with { Port = port.Name, BaudRate = settings?.BaudRate ?? 9600, Parity = settings?.Parity ?? System.IO.Ports.Parity.None, StopBits = settings?.StopBits ?? System.IO.Ports.StopBits.One };
    }
}
