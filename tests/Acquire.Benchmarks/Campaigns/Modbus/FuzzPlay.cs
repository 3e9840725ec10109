using Acquire.Service.Configuration;
using Acquire.Service.Sources;
using Acquire.Service.Sources.Modbus;

namespace Acquire.Benchmarks.Campaigns.Modbus;

/// <summary>Draws one input after the other and gives it to the codec as the links do.</summary>
internal sealed class FuzzPlay(Random random) : IFuzzPlay
{
    /// <summary>Longest input, bytes.</summary>
    public const int LongestInput = 600;

    private readonly byte[] _bytes = new byte[LongestInput];
    private readonly PlannedPoll[] _polls = [.. Enumerable.Range(0, 64).Select(_ => Draw(random))];
    private readonly FuzzTally _rtu = new(), _tcp = new();
    private PlannedPoll _poll = null!;
    private bool _damaged;
    private int _length;

    /// <summary>The newest input.</summary>
    public ReadOnlySpan<byte> Input => _bytes.AsSpan(0, _length);

    /// <inheritdoc/>
    public string Newest => $"{Convert.ToHexString(Input)} for {Request}";

    /// <summary>What it was given as the answer to.</summary>
    public ReadRequest Request => _poll.Request;

    /// <summary>Rows that were made.</summary>
    public long Rows { get; private set; }

    /// <summary>Values that were refused.</summary>
    public long RefusedValues { get; private set; }

    /// <summary>What became of the inputs, by wire.</summary>
    public IEnumerable<(string Wire, FuzzTally Tally)> Tallies => [("serial line", _rtu), ("network", _tcp)];

    /// <summary>Plays one input.</summary>
    public void Once()
    {
        _poll = _polls[random.Next(_polls.Length)];
        if (random.Next(2) == 0)
        {
            FillRtu();
            var found = RtuFrames.Find(Input, Request);
            Count(_rtu, found ?? (RtuFrames.Explain(Input, Request) is { } what ? new Exchange.Nonsense(what) : null));
        }
        else
        {
            FillTcp();
            Count(_tcp, Stream());
        }
    }

    // As the link does: frame after frame, until the one with the number that was asked.
    private Exchange? Stream()
    {
        var rest = Input;
        while (true)
        {
            var frame = TcpFrames.Look(rest);
            if (frame.Kind != TcpFrameKind.Whole)
            {
                return frame.Kind == TcpFrameKind.Broken ? new Exchange.Nonsense("no Modbus") : null;
            }

            if (frame.TransactionId == 7)
            {
                return TcpFrames.Read(rest[..frame.Length], Request);
            }

            rest = rest[frame.Length..];
        }
    }

    private void Count(FuzzTally tally, Exchange? exchange)
    {
        tally.Inputs++;
        switch (exchange)
        {
            case null:
                tally.Nothing++;
                break;
            case Exchange.Registers registers:
                tally.Answers++;
                tally.Damaged += _damaged ? 1 : 0;
                Decode(registers.Data.Span);
                break;
            case Exchange.Refused refused:
                tally.Exceptions++;
                ArgumentException.ThrowIfNullOrEmpty(ExceptionNames.Of(refused.Code));
                break;
            default:
                tally.Refused++;
                break;
        }
    }

    private void Decode(ReadOnlySpan<byte> data)
    {
        if (data.Length != Request.DataBytes)
        {
            throw new InvalidOperationException($"An answer of {data.Length} bytes to {Request} passed.");
        }

        var draft = default(RowDraft);
        AnswerDecoder.Decode(_poll, data, ref draft, _ => RefusedValues++);
        if (!draft.HasValue)
        {
            return;
        }

        var row = draft.ToRow(1);
        if (!double.IsFinite(row.TemperatureCelsius) || !double.IsFinite(row.Detector) || !double.IsFinite(row.Signal))
        {
            throw new InvalidOperationException("A row that is not finite passed.");
        }

        Rows++;
    }

    private void FillRtu()
    {
        var body = new byte[3 + Request.DataBytes];
        random.NextBytes(body);
        (body[0], body[1], body[2]) = (Request.UnitId, Request.Function, (byte)Request.DataBytes);
        if (random.Next(8) == 0)
        {
            body = [Request.UnitId, (byte)(Request.Function | AnswerPdu.ExceptionBit), body[^1]];
        }

        var crc = Crc16.Of(body);
        Place([.. body, (byte)(crc & 0xFF), (byte)(crc >> 8)]);
    }

    private void FillTcp()
    {
        var body = new byte[9 + Request.DataBytes];
        random.NextBytes(body);
        var length = 3 + Request.DataBytes;
        byte[] head = [0, (byte)(random.Next(4) == 0 ? 6 : 7), 0, 0, 0, (byte)length, Request.UnitId, Request.Function, (byte)Request.DataBytes];
        head.CopyTo(body, 0);
        if (random.Next(8) == 0)
        {
            body = [0, 7, 0, 0, 0, 3, Request.UnitId, (byte)(Request.Function | AnswerPdu.ExceptionBit), body[^1]];
        }

        Place(random.Next(4) == 0 ? [0, 6, 0, 0, 0, 3, Request.UnitId, 0x83, 2, .. body] : body);
    }

    // A quarter sound, a quarter noise, half damaged: bytes changed, cut off, doubled, or behind noise.
    private void Place(byte[] frame)
    {
        var way = random.Next(8);
        var sound = (byte[])frame.Clone();
        switch (way)
        {
            case 0 or 1:
                break;
            case 2 or 3:
                frame = new byte[random.Next(LongestInput + 1)];
                random.NextBytes(frame);
                break;
            case 4:
                frame = frame[..random.Next(frame.Length)];
                break;
            case 5:
                frame[random.Next(frame.Length)] ^= (byte)(1 << random.Next(8));
                break;
            case 6:
                frame = [.. frame, .. frame];
                break;
            default:
                frame[random.Next(frame.Length)] = (byte)random.Next(256);
                frame[random.Next(Math.Min(frame.Length, 9))] = (byte)random.Next(256);
                break;
        }

        _length = Math.Min(frame.Length, LongestInput);
        frame.AsSpan(0, _length).CopyTo(_bytes);
        _damaged = !frame.AsSpan().StartsWith(sound);
    }

    private static PlannedPoll Draw(Random random)
    {
        ReadingChannel[] channels = [ReadingChannel.Temperature, ReadingChannel.Detector, ReadingChannel.Heater, ReadingChannel.Ambient, ReadingChannel.Flame, ReadingChannel.Lit];
        var address = random.Next(60_000);
        var values = channels[..random.Next(1, channels.Length + 1)].Select(channel =>
        {
            var yesOrNo = channel.IsYesOrNo();
            var type = yesOrNo ? RegisterType.UInt16 : (RegisterType)random.Next(8);
            var unit = channel switch
            {
                ReadingChannel.Temperature => (ReadingUnit)random.Next((int)ReadingUnit.Celsius, (int)ReadingUnit.Milliampere + 1),
                ReadingChannel.Ambient => ReadingUnit.Celsius,
                ReadingChannel.Heater => ReadingUnit.Percent,
                _ => ReadingUnit.None,
            };
            return new RegisterConfig(channel, unit, 1, RegisterTable.Holding, address + random.Next(100), type)
            {
                LowWordFirst = random.Next(2) == 0,
                LowByteFirst = random.Next(2) == 0,
                Scale = random.Next(2) == 0 ? 1 : 0.01,
                Offset = random.Next(3) == 0 ? -40 : 0,
                Bit = yesOrNo && random.Next(2) == 0 ? random.Next(16) : null,
            };
        }).ToArray();
        var source = new SourceConfig.Modbus { Wire = new ModbusWire.Tcp("h", 502), PeriodMilliseconds = 100, TimeoutMilliseconds = 100, LargestGap = 123, Registers = values };
        return PollPlan.Make(source)[0];
    }
}
