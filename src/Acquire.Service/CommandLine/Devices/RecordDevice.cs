using System.CommandLine;
using System.Globalization;
using System.Text;
using Acquire.Core;
using Acquire.Service.Sources.Capture;

namespace Acquire.Service.CommandLine.Devices;

/// <summary>`acquire devices record`: keeps the raw bytes of a wire with their timing.</summary>
internal sealed class RecordDevice
{
    private static readonly TimeSpan FlushEvery = TimeSpan.FromSeconds(1);

    private readonly Argument<string> _file = new("FILE") { Description = "File to write; it must not be there yet." };
    private readonly PortChoice _choice = new("--port", "A port to be recorded.");
    private readonly Option<double?> _seconds = NumberOption.Optional("--seconds", "End after so long, s; left out, with Ctrl+C.");

    public Command ToCommand()
    {
        var command = new Command("record", "Keep what goes over the wire of a tester, with its timing. One that is polled is asked. End the service first where it reads the same port or unit, or is the broker.") { _file, _seconds };
        _choice.AddTo(command);
        command.SetAction(RunAsync);
        return command;
    }

    private async Task<int> RunAsync(ParseResult parsed, CancellationToken cancellationToken)
    {
        var error = parsed.InvocationConfiguration.Error;
        var errors = new List<InputError>();
        var seconds = WatchDevice.Seconds(parsed, _seconds, errors);
        if (!_choice.TryChoose(parsed, out var chosen, out var refused) || errors.Count > 0)
        {
            return SimulateCommand.Refuse(error, [.. errors, .. refused]);
        }

        var path = parsed.GetValue(_file)!;
        var failed = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        WireRecorder recorder;
        try
        {
            // What was recorded once is not made again: no file is written over.
            var writer = new StreamWriter(new FileStream(path, FileMode.CreateNew, FileAccess.Write, FileShare.Read), Encoding.ASCII);
            recorder = new(writer, TimeProvider.System, chosen.Source.Description, exception => failed.TrySetException(exception));
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            return SimulateCommand.Refuse(error, [new("FILE", $"{path} cannot be written: {exception.Message}; allowed: a file that is not there yet")]);
        }

        await RecordAsync(recorder, chosen, seconds, failed.Task, error, cancellationToken).ConfigureAwait(false);
        if (failed.Task.Exception?.InnerException is { } cause)
        {
            error.WriteLine(new InputError("FILE", $"{path} could not be written to its end: {cause.Message}"));
            return ExitCode.Failed;
        }

        parsed.InvocationConfiguration.Output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{path}: {recorder.BytesIn} bytes in, {recorder.BytesOut} bytes out"));
        return recorder.BytesIn > 0 ? ExitCode.Done : ExitCode.Failed;
    }

    private static async Task RecordAsync(WireRecorder recorder, ChosenPort chosen, double? seconds, Task failed, TextWriter error, CancellationToken cancellationToken)
    {
        using (recorder)
        {
            using var stop = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken);
            var flushing = FlushAsync(recorder, stop.Token);
            var tap = recorder.Tap;
            await DeviceSession.RunAsync(
                chosen,
                tap with
                {
                    Fault = fault =>
                    {
                        tap.Fault!(fault);
                        error.WriteLine(fault);
                    },
                },
                seconds,
                failed,
                TimeProvider.System,
                cancellationToken).ConfigureAwait(false);
            await stop.CancelAsync().ConfigureAwait(false);
            await flushing.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    private static async Task FlushAsync(WireRecorder recorder, CancellationToken cancellationToken)
    {
        while (true)
        {
            await Task.Delay(FlushEvery, TimeProvider.System, cancellationToken).ConfigureAwait(false);
            recorder.Flush();
        }
    }
}
