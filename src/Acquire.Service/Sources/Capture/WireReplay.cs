using Acquire.Service.Configuration;
using Acquire.Service.Sources.Serial;

namespace Acquire.Service.Sources.Capture;

/// <summary>Feeds the kept bytes of a wire to the decoders that the service uses. No IO, no clock.</summary>
/// <param name="config">How its lines are read; without layout and poll lines are only cut.</param>
/// <param name="line">Told each line, its time in s, and what became of it.</param>
internal sealed class WireReplay(SourceConfig.Serial config, Action<double, TappedLine> line)
{
    private const double MicrosecondsPerSecond = 1e6;

    private readonly (PollCommand Command, LineDecoder Decoder)[] _commands =
        [.. (config.Poll?.Commands ?? []).Select(command => (command, new LineDecoder(config, command.Layout)))];

    private readonly LineDecoder? _streaming = config.Layout is { } layout ? new(config, layout) : null;
    private LineIntake _intake = new(config);
    private long _opened;
    private (PollCommand Command, LineDecoder Decoder, long At)? _asked;

    /// <summary>Takes the next record.</summary>
    public void Take(WireRecord record)
    {
        switch (record.Event)
        {
            case WireEvent.Opened:
                (_intake, _opened, _asked) = (new(config), record.AtMicroseconds, null);
                break;
            case WireEvent.Out:
                var index = Array.FindIndex(_commands, known => known.Command.Send.Span.SequenceEqual(record.Bytes.Span));
                _asked = index < 0 ? null : (_commands[index].Command, _commands[index].Decoder, record.AtMicroseconds);
                break;
            case WireEvent.In:
                TakeBytes(record);
                break;
            default:
                _asked = null;
                break;
        }
    }

    private void TakeBytes(WireRecord record)
    {
        var rest = record.Bytes;
        while (!rest.IsEmpty)
        {
            var count = Math.Min(rest.Length, _intake.Free.Length);
            rest[..count].CopyTo(_intake.Free);
            _intake.Written(count, config.Poll is null ? TimeSpan.FromMicroseconds(record.AtMicroseconds - _opened) : TimeSpan.MaxValue);
            rest = rest[count..];
            FrameKind kind;
            while ((kind = _intake.Take(out var text)) != FrameKind.None)
            {
                Decode(kind, text, record.AtMicroseconds);
            }
        }
    }

    private void Decode(FrameKind kind, ReadOnlyMemory<byte> text, long at)
    {
        var seconds = at / MicrosecondsPerSecond;
        var decoder = _streaming;
        if (config.Poll is not null)
        {
            // As live: an echo is no answer, and an answer has the time half-way between command and answer.
            if (_asked is not { } asked || text.IsEmpty || text.Span.SequenceEqual(asked.Command.Send.Span.TrimEnd("\r\n"u8)))
            {
                return;
            }

            (decoder, seconds, _asked) = (asked.Decoder, (asked.At + at) / 2 / MicrosecondsPerSecond, null);
        }

        if (kind == FrameKind.TooLong)
        {
            line(seconds, new(text, null, new("line", $"more than {LineFramer.LongestLineBytes} bytes without a line end")));
        }
        else if (decoder is null)
        {
            line(seconds, new(text, null, null));
        }
        else if (!text.IsEmpty)
        {
            line(seconds, decoder.TryDecode(text.Span, seconds, out var row, out var error) ? new(text, row, null) : new(text, null, error));
        }
    }
}
