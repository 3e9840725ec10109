using System.CommandLine;
using System.Globalization;
using Acquire.Core;
using Acquire.Service.Configuration;
using Acquire.Service.Sources;
using Acquire.Service.Sources.Capture;
using Acquire.Service.Sources.Serial;

namespace Acquire.Service.CommandLine.Devices;

/// <summary>`acquire devices play`: decodes a recorded wire again, or says its bytes to a port.</summary>
internal sealed class PlayDevice
{
    private const double SlowestSpeed = 0.01, FastestSpeed = 1000;

    private readonly Argument<string> _file = new("FILE") { Description = "A file of `acquire devices record`." };
    private readonly PortChoice _choice = new("--to", "A port, or one end of a pair of pseudo terminals, to say the bytes to, in their timing, instead of decoding them.");
    private readonly Option<double> _speed = NumberOption.WithDefault("--speed", "With --to: times the recorded pace, 0.01 to 1000.", 1);

    public Command ToCommand()
    {
        var command = new Command("play", "Decode a recorded wire as a tester's and print its readings, with the raw text beside; or say its bytes to a port.") { _file, _speed };
        _choice.AddTo(command);
        command.SetAction(RunAsync);
        return command;
    }

    private async Task<int> RunAsync(ParseResult parsed, CancellationToken cancellationToken)
    {
        var (output, error) = (parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error);
        var speed = parsed.GetValue(_speed);
        if (speed is not (>= SlowestSpeed and <= FastestSpeed))
        {
            return SimulateCommand.Refuse(error, [new(_speed.Name, string.Create(CultureInfo.InvariantCulture, $"given {speed}; allowed: {SlowestSpeed} to {FastestSpeed}"))]);
        }

        var toPort = _choice.Port(parsed) is not null;
        ChosenPort? chosen = null;
        IReadOnlyList<InputError> errors = [];
        if ((toPort || _choice.NamesTester(parsed)) && !_choice.TryChoose(parsed, out chosen, out errors))
        {
            return SimulateCommand.Refuse(error, errors);
        }

        if (!WireRecordFile.TryRead(parsed.GetValue(_file)!, out var records, out errors, out var cut))
        {
            return SimulateCommand.Refuse(error, errors);
        }

        if (cut is not null)
        {
            error.WriteLine(cut);
        }

        return chosen?.Source is SourceConfig.Serial serial && toPort
            ? await SayAsync(records, serial.Settings, speed, output, error, cancellationToken).ConfigureAwait(false)
            : Decode(records, chosen ?? Plain, output, error);
    }

    // Lines as they are.
    internal static ChosenPort Plain => new(PlainLines, Core.Thermometry.ThermometerUnit.Celsius);

    internal static SourceConfig.Serial PlainLines => new()
    {
        Port = "file",
        BaudRate = 9600,
        DataBits = 8,
        Parity = System.IO.Ports.Parity.None,
        StopBits = System.IO.Ports.StopBits.One,
        Handshake = System.IO.Ports.Handshake.None,
        Separator = ',',
        DecimalSeparator = '.',
    };

    private static int Decode(IReadOnlyList<WireRecord> records, ChosenPort chosen, TextWriter output, TextWriter error)
    {
        var (lines, read, refused) = (0, 0, 0);
        var replay = WireReplays.For(chosen.Source, (at, line) =>
        {
            lines++;
            read += line.Row is null ? 0 : 1;
            refused += line.Error is null ? 0 : 1;
            output.WriteLine(LineText.Of(at, line, chosen.Unit));
        });
        foreach (var record in records)
        {
            replay(record);
        }

        error.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{lines} lines, {read} read, {refused} refused"));
        return (chosen.Source.Channels.Any() ? read : lines) > 0 ? ExitCode.Done : ExitCode.Failed;
    }

    private static async Task<int> SayAsync(IReadOnlyList<WireRecord> records, PortSettings settings, double speed, TextWriter output, TextWriter error, CancellationToken cancellationToken)
    {
        var (time, said) = (TimeProvider.System, 0L);
        OpenPort? port = null;
        try
        {
            port = OpenPort.Open(settings, time);
            var begun = time.GetTimestamp();
            foreach (var record in records.Where(record => record.Event == WireEvent.In))
            {
                var left = (TimeSpan.FromMicroseconds(record.AtMicroseconds) / speed) - time.GetElapsedTime(begun);
                if (left > TimeSpan.Zero)
                {
                    await Task.Delay(Waits.WholeMilliseconds(left), time, cancellationToken).ConfigureAwait(false);
                }

                await port.WriteAsync(record.Bytes, cancellationToken).ConfigureAwait(false);
                said += record.Bytes.Length;
            }

            while (port.BytesToWrite > 0)
            {
                await Task.Delay(TimeSpan.FromMilliseconds(10), time, cancellationToken).ConfigureAwait(false);
            }

            output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{said} bytes said to {settings.Port}"));
            return ExitCode.Done;
        }
        catch (OperationCanceledException) when (cancellationToken.IsCancellationRequested)
        {
            return ExitCode.Failed;
        }
#pragma warning disable CA1031 // Drivers throw whatever they like; the person is told what to do.
        catch (Exception exception)
#pragma warning restore CA1031
        {
            var there = PortDiagnosis.IsThere(settings.Port);
            error.WriteLine(new InputError("--to", port is null ? PortDiagnosis.ExplainOpen(settings.Port, there, exception) : PortDiagnosis.ExplainLoss(settings.Port, there, exception)));
            return ExitCode.Failed;
        }
        finally
        {
            port?.Abandon(exception => error.WriteLine(exception.Message));
        }
    }
}
