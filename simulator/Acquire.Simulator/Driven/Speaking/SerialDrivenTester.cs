using System.Globalization;
using System.Text;

namespace Acquire.Simulator;

/// <summary>A driven tester on a serial line: says its readings, one row a line, and hears commands on the same line.</summary>
/// <remarks>A line that fails is opened again; meanwhile the tester lives on, cuts its heater when the lifetime is over, and what it read is lost.</remarks>
public sealed class SerialDrivenTester
{

    private readonly Func<Stream> open;
    private readonly string name;
    private readonly TimeProvider time;
    private readonly Action<string>? onTrouble;

    private SerialDrivenTester(string name, Func<Stream> open, TimeProvider time, Action<string>? onTrouble)
    {
        this.name = name;
        this.open = open;
        this.time = time;
        this.onTrouble = onTrouble;
    }

    /// <summary>On a port by its path, such as /dev/ttyUSB0 or COM3, 8 data bits, no parity, one stop bit.</summary>
    /// <param name="path">The port, or a link to it.</param>
    /// <param name="baud">Line speed, bit/s; a pseudo terminal takes any.</param>
    /// <param name="time">Paces the tester.</param>
    /// <param name="onTrouble">Told in words when the line fails and when it is tried again.</param>
    public static SerialDrivenTester OnPort(string path, int baud, TimeProvider time, Action<string>? onTrouble = null) =>
        new(path, () => SpeakingLine.OpenPort(path, baud), time, onTrouble);

    /// <summary>On the tester's end of a pseudo terminal, which stays open when the tester is done.</summary>
    public static SerialDrivenTester OnPseudoTerminal(PseudoTerminal terminal, TimeProvider time, Action<string>? onTrouble = null)
    {
        ArgumentNullException.ThrowIfNull(terminal);
        return new(terminal.SlavePath, () => terminal.OpenTesterEnd(time), time, onTrouble);
    }

    /// <summary>Talks until cancelled.</summary>
    public async Task RunAsync(DrivenTalk talk, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(talk);
        using var ending = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken);
        var living = talk.LiveAsync(ending.Token);
        try
        {
            await ConnectAgainAndAgainAsync(talk, ending.Token);
        }
        finally
        {
            await ending.CancelAsync();
            await living.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    private async Task ConnectAgainAndAgainAsync(DrivenTalk talk, CancellationToken cancellationToken)
    {
        var backoff = new Backoff(time);
        while (true)
        {
            Stream? line = null;
            try
            {
                line = open();
                talk.Forget();
                backoff.Reset();
                await SpeakAndHearAsync(line, talk, cancellationToken);
            }
            catch (Exception failure) when (failure is IOException or UnauthorizedAccessException or TimeoutException or InvalidOperationException)
            {
                onTrouble?.Invoke(string.Create(CultureInfo.InvariantCulture, $"serial line {name}: {failure.Message} Next try in {backoff.NextSeconds} s."));
            }
            finally
            {
                await SpeakingLine.CloseAsync(line, name, time, onTrouble);
            }

            cancellationToken.ThrowIfCancellationRequested();
            await backoff.WaitAsync(cancellationToken);
        }
    }

    /// <summary>Both directions at once, until one of them fails.</summary>
    private static async Task SpeakAndHearAsync(Stream line, DrivenTalk talk, CancellationToken cancellationToken)
    {
        using var ending = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken);
        var first = await Task.WhenAny(SpeakAsync(line, talk, ending.Token), HearAsync(line, talk, ending.Token));
        await ending.CancelAsync();
        await first;
    }

    private static async Task SpeakAsync(Stream line, DrivenTalk talk, CancellationToken cancellationToken)
    {
        var chain = talk.Look(tester => tester.Options.Run.Thermometer.Chain);
        var lines = new RowText(new(chain), DrivenCup.OwnChannels);
        var text = new StringBuilder();
        while (true)
        {
            foreach (var row in await talk.NextAsync(cancellationToken))
            {
                lines.Append(text, row);
            }

            await line.WriteAsync(Encoding.ASCII.GetBytes(text.ToString()), cancellationToken);
            text.Clear();
        }
    }

    private static async Task HearAsync(Stream line, DrivenTalk talk, CancellationToken cancellationToken)
    {
        var lines = new CommandLines(talk);
        var buffer = new byte[256];
        while (await line.ReadAsync(buffer, cancellationToken) is > 0 and var count)
        {
            lines.Add(buffer.AsSpan(0, count));
        }

        throw new IOException("the other end has hung up.");
    }
}
