using System.Text;
using Acquire.Core;
using Acquire.Service.Configuration;
using Acquire.Service.Sources.Modbus;

namespace Acquire.Service.Sources.Capture;

/// <summary>Feeds the kept bytes of a Modbus wire to the codec that the service uses. No IO, no clock.</summary>
/// <param name="config">The wire and its registers.</param>
/// <param name="line">Told each answer, its time in s, and what became of it.</param>
internal sealed class RegisterReplay(SourceConfig.Modbus config, Action<double, TappedLine> line)
{
    // The number of a transaction stands first and is another each time.
    private const int TransactionBytes = 2;

    private readonly IReadOnlyList<PlannedPoll> _plans = PollPlan.Make(config);
    private readonly bool _overNetwork = config.Wire is ModbusWire.Tcp;
    private readonly List<byte> _received = [];
    private PlannedPoll? _asked;
    private ushort _transaction;
    private long _askedAt;

    /// <summary>Takes the next record.</summary>
    public void Take(WireRecord record)
    {
        switch (record.Event)
        {
            case WireEvent.Out:
                Ask(record.Bytes.Span);
                _askedAt = record.AtMicroseconds;
                break;
            case WireEvent.In when _asked is not null:
                _received.AddRange(record.Bytes.Span);
                if (Look() is { } exchange)
                {
                    Answer(exchange, (_askedAt + record.AtMicroseconds) / 2 / 1e6);
                }

                break;
            default:
                break;
        }
    }

    private void Ask(ReadOnlySpan<byte> sent)
    {
        _received.Clear();
        _asked = null;
        foreach (var plan in _plans)
        {
            var frame = new byte[_overNetwork ? TcpFrames.RequestBytes : RtuFrames.RequestBytes];
            if (_overNetwork)
            {
                TcpFrames.Write(0, plan.Request, frame);
            }
            else
            {
                RtuFrames.Write(plan.Request, frame);
            }

            var skipped = _overNetwork ? TransactionBytes : 0;
            if (sent.Length == frame.Length && sent[skipped..].SequenceEqual(frame.AsSpan(skipped)))
            {
                (_asked, _transaction) = (plan, _overNetwork ? (ushort)((sent[0] << 8) | sent[1]) : (ushort)0);
                return;
            }
        }
    }

    private Exchange? Look()
    {
        var received = _received.ToArray().AsSpan();
        if (!_overNetwork)
        {
            return RtuFrames.Find(received, _asked!.Request);
        }

        while (TcpFrames.Look(received) is { Kind: TcpFrameKind.Whole } frame)
        {
            if (frame.TransactionId == _transaction)
            {
                return TcpFrames.Read(received[..frame.Length], _asked!.Request);
            }

            received = received[frame.Length..];
        }

        return null;
    }

    private void Answer(Exchange exchange, double seconds)
    {
        var asked = _asked!;
        _asked = null;
        var text = exchange is Exchange.Registers { Data: var data } ? Encoding.ASCII.GetBytes(Convert.ToHexString(data.Span)) : [];
        switch (exchange)
        {
            case Exchange.Registers registers:
                var draft = default(RowDraft);
                AnswerDecoder.Decode(asked, registers.Data.Span, ref draft, error => line(seconds, new(text, null, error)));
                if (draft.HasValue)
                {
                    line(seconds, new(text, draft.ToRow(seconds), null));
                }

                break;
            case Exchange.Refused refused:
                line(seconds, new(text, null, new InputError($"unit {asked.Request.UnitId}", ExceptionNames.Of(refused.Code))));
                break;
            case Exchange.Nonsense nonsense:
                line(seconds, new(text, null, new InputError($"unit {asked.Request.UnitId}", nonsense.What)));
                break;
            default:
                break;
        }
    }
}
