using System.Globalization;
using System.Text;
using Acquire.Core.Readings;
using Acquire.Core.Thermometry;

namespace Acquire.Simulator;

/// <summary>Speaks on a serial line: one row a line, the text of a trace without its header.</summary>
/// <remarks>
/// A line that fails is opened again and what was being written is said again after a line feed, so a listener may meet a torn line and rows twice, but never a gap.
/// What a port had taken and lost in its own buffer is beyond any writer's knowledge.
/// </remarks>
public sealed class SerialSpeaker : ISpeaker
{

    private readonly Func<Stream> open;
    private readonly string name;
    private readonly TimeProvider time;
    private readonly Action<string>? onTrouble;
    private readonly RowText lines;

    private SerialSpeaker(string name, Func<Stream> open, TimeProvider time, Action<string>? onTrouble, ThermometerChain? chain, RowChannels bench)
    {
        this.name = name;
        this.open = open;
        this.time = time;
        this.onTrouble = onTrouble;
        lines = new(new(chain ?? ThermometerChain.Plain), bench);
    }

    /// <summary>Speaks on a port by its path, such as /dev/ttyUSB0 or COM3, 8 data bits, no parity, one stop bit.</summary>
    /// <param name="path">The port, or a link to it.</param>
    /// <param name="baud">Line speed, bit/s; a pseudo terminal takes any.</param>
    /// <param name="time">Paces the rows.</param>
    /// <param name="onTrouble">Told in words when the line fails and when it is tried again.</param>
    /// <param name="chain">What the rows carry of the thermometer; null for a temperature in °C.</param>
    /// <param name="bench">Which of the <see cref="BenchColumns"/> follow on each line; and <see cref="RowChannels.SecondDetector"/> where it may be missing in the first row of a tester that has one.</param>
    public static SerialSpeaker OnPort(string path, int baud, TimeProvider time, Action<string>? onTrouble = null, ThermometerChain? chain = null, RowChannels bench = RowChannels.None) =>
        new(path, () => SpeakingLine.OpenPort(path, baud), time, onTrouble, chain, bench);

    /// <summary>Speaks on the tester's end of a pseudo terminal; the terminal stays open when the speaker is done.</summary>
    public static SerialSpeaker OnPseudoTerminal(PseudoTerminal terminal, TimeProvider time, Action<string>? onTrouble = null, ThermometerChain? chain = null, RowChannels bench = RowChannels.None)
    {
        ArgumentNullException.ThrowIfNull(terminal);
        return new(terminal.SlavePath, () => terminal.OpenTesterEnd(time), time, onTrouble, chain, bench);
    }

    /// <inheritdoc/>
    public async Task SpeakAsync(IEnumerable<ReadingRow> rows, double speed, CancellationToken cancellationToken)
    {
        SpeakingSpeed.Require(speed);
        var backoff = new Backoff(time);
        Stream? line = null;
        try
        {
            await foreach (var batch in new Pacer(time).BatchesAsync(rows, speed, cancellationToken))
            {
                line = await WriteAsync(line, Encode(batch), backoff, cancellationToken);
            }
        }
        finally
        {
            await SpeakingLine.CloseAsync(line, name, time, onTrouble);
        }
    }

    private async Task<Stream> WriteAsync(Stream? line, byte[] text, Backoff backoff, CancellationToken cancellationToken)
    {
        var again = false;
        while (true)
        {
            try
            {
                line ??= open();
                await line.WriteAsync(again ? [(byte)'\n', .. text] : text, cancellationToken);
                backoff.Reset();
                return line;
            }
            catch (Exception failure) when (failure is IOException or UnauthorizedAccessException or TimeoutException or InvalidOperationException)
            {
                again |= line is not null;
                onTrouble?.Invoke(string.Create(CultureInfo.InvariantCulture, $"serial line {name}: {failure.Message} Next try in {backoff.NextSeconds} s."));
                await SpeakingLine.CloseAsync(line, name, time, onTrouble);
                line = null;
                await backoff.WaitAsync(cancellationToken);
            }
        }
    }

    private byte[] Encode(IReadOnlyList<ReadingRow> batch)
    {
        var text = new StringBuilder(batch.Count * 32);
        foreach (var row in batch)
        {
            lines.Append(text, row);
        }

        return Encoding.ASCII.GetBytes(text.ToString());
    }
}
