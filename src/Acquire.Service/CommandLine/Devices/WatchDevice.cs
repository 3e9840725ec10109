using System.CommandLine;
using System.Globalization;
using System.Threading.Channels;
using Acquire.Core;
using Acquire.Service.Configuration;
using Acquire.Service.Sources;

namespace Acquire.Service.CommandLine.Devices;

/// <summary>`acquire devices watch`: decoded readings as they come, with the raw text beside.</summary>
internal sealed class WatchDevice
{
    private const int MostWaiting = 1024;
    private const double LongestSeconds = 1e7;

    private readonly PortChoice _choice = new("--port", "A port to be watched: its lines as they are, or with a tester, decoded as that tester's.");
    private readonly Option<double?> _seconds = NumberOption.Optional("--seconds", "End after so long, s; left out, with Ctrl+C.");
    private readonly Option<int?> _lines = new("--lines") { Description = "End after so many lines." };

    public Command ToCommand()
    {
        var command = new Command("watch", "Print what a tester sends, decoded, with the raw text beside. One that is polled is asked. End the service first where it reads the same port or unit, or is the broker; beside one that reads from a broker elsewhere this may run.") { _seconds, _lines };
        _choice.AddTo(command);
        command.SetAction(RunAsync);
        return command;
    }

    /// <summary>A length of time that a person gave; wrong ones are added to the errors.</summary>
    public static double? Seconds(ParseResult parsed, Option<double?> option, List<InputError> errors)
    {
        var given = parsed.GetValue(option);
        if (given is not (null or (> 0 and <= LongestSeconds)))
        {
            errors.Add(new(option.Name, string.Create(CultureInfo.InvariantCulture, $"given {given}; allowed: above 0, up to {LongestSeconds} s")));
        }

        return given;
    }

    private async Task<int> RunAsync(ParseResult parsed, CancellationToken cancellationToken)
    {
        var (output, error) = (parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error);
        var errors = new List<InputError>();
        var seconds = Seconds(parsed, _seconds, errors);
        if (parsed.GetValue(_lines) is { } lines and < 1)
        {
            errors.Add(new(_lines.Name, string.Create(CultureInfo.InvariantCulture, $"given {lines}; allowed: 1 or more")));
        }

        if (!_choice.TryChoose(parsed, out var chosen, out var refused) || errors.Count > 0)
        {
            return SimulateCommand.Refuse(error, [.. errors, .. refused]);
        }

        var shown = new ShownLines(chosen, parsed.GetValue(_lines), TimeProvider.System);
        var printing = shown.PrintAsync(output, error);
        await DeviceSession.RunAsync(chosen, shown.Tap, seconds, shown.Enough, TimeProvider.System, cancellationToken).ConfigureAwait(false);
        shown.Complete();
        await printing.ConfigureAwait(false);
        error.WriteLine(shown.Summary);
        return shown.IsReadable ? ExitCode.Done : ExitCode.Failed;
    }

    // A terminal that is stopped must not hold the port back, or bytes would be lost that the next line needs.
    private sealed class ShownLines(ChosenPort chosen, int? most, TimeProvider time)
    {
        private readonly long _begun = time.GetTimestamp();
        private readonly TaskCompletionSource _enough = new(TaskCreationOptions.RunContinuationsAsynchronously);
        private readonly Channel<(bool IsFault, string Text)> _texts = Channel.CreateBounded<(bool IsFault, string Text)>(new BoundedChannelOptions(MostWaiting) { SingleReader = true });
        private int _lines, _read, _refused, _left;
        private long _bytes;

        public WireTap Tap => new() { Received = bytes => _bytes += bytes.Length, Message = (_, payload) => _bytes += payload.Length, Fault = fault => Say(true, fault), Line = Take };

        public Task Enough => _enough.Task;

        public bool IsReadable => chosen.Source.Channels.Any() ? _read > 0 : _lines > 0;

        public string Summary => string.Create(CultureInfo.InvariantCulture, $"{_lines} lines, {_read} read, {_refused} refused{(_left > 0 ? $", {_left} not shown because printing was too slow" : "")}{(_lines == 0 && _bytes > 0 ? $"; {_bytes} bytes came and {(chosen.Source is SourceConfig.Serial ? "no whole line: check baud rate and line end" : "nothing that could be read")}" : "")}");

        public void Complete() => _texts.Writer.TryComplete();

        public async Task PrintAsync(TextWriter output, TextWriter error)
        {
            await foreach (var (isFault, text) in _texts.Reader.ReadAllAsync().ConfigureAwait(false))
            {
                (isFault ? error : output).WriteLine(text);
            }
        }

        private void Take(TappedLine line)
        {
            if (_lines >= most)
            {
                return;
            }

            _lines++;
            _read += line.Row is null ? 0 : 1;
            _refused += line.Error is null ? 0 : 1;
            Say(false, LineText.Of(time.GetElapsedTime(_begun).TotalSeconds, line, chosen.Unit));
            if (_lines >= most)
            {
                _enough.TrySetResult();
            }
        }

        private void Say(bool isFault, string text) => _left += _texts.Writer.TryWrite((isFault, text)) ? 0 : 1;
    }
}
