using System.Buffers;
using System.Text;
using Acquire.Core.Readings;
using Acquire.Service.Configuration;
using Acquire.Service.Sources;
using Acquire.Service.Sources.Mqtt;

namespace Acquire.Benchmarks.Campaigns.Mqtt;

/// <summary>Draws one message after the other, topic and payload, and gives it to the dispatcher as both brokers do.</summary>
internal sealed class MessagePlay : IFuzzPlay
{
    /// <summary>Longest payload, bytes: now and then one beyond what is read.</summary>
    public const int LongestInput = ReadingDispatcher.LargestPayloadBytes + 8;

    private const int LongestNoise = 200;
    private const int HugeOneIn = 20_000;
    private const int RepeatOneIn = 16;
    private static readonly string[] Pieces =
        ["null", "NaN", "1e999", "-1e308", "[", "{", "]", "}", "\"\\ud800\"", "\"\\udc00\":1,", ",", ";", "\r\n", "\0", "\"t\":1,", "99999999999999999999", "-0", "\u00b5", "[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[["];

    private readonly Random _random;
    private readonly IReadOnlyList<MessageKind> _kinds = MessageKind.All();
    private readonly ReadingDispatcher _dispatcher;
    private byte[] _payload = [];
    private string _topic = "";

    /// <param name="random">Draws.</param>
    public MessagePlay(Random random)
    {
        _random = random;
        var json = $$"""{ "mqtt": { "mode": "embedded", "port": 1883 }, "testers": [ {{string.Join(",", _kinds.Select(kind => kind.Tester))}} ] }""";
        if (!ConfigFile.TryParse(json, out var config, out var errors))
        {
            throw new InvalidOperationException(string.Join("\n", errors));
        }

        _dispatcher = new(config.Testers.Zip(_kinds, (tester, kind) => ((SourceConfig.Mqtt)tester.Source, kind.Inbox)));
    }

    /// <inheritdoc/>
    public string Newest => $"{Convert.ToHexString(_payload)} on {Convert.ToHexString(Encoding.UTF8.GetBytes(_topic))}";

    /// <summary>What became of the inputs, by kind of payload.</summary>
    public IEnumerable<(string Name, MessageTally Tally)> Tallies => _kinds.Select(kind => (kind.Name, kind.Tally));

    /// <inheritdoc/>
    public void Once()
    {
        var kind = _kinds[_random.Next(_kinds.Count)];
        var again = _random.Next(RepeatOneIn) == 0 && kind.Newest is not null;
        var sound = again ? kind.Newest! : kind.Newest = Encoding.UTF8.GetBytes(kind.Sound(_random));
        _payload = again || _random.Next(4) == 0 ? sound : Damage(sound);
        _topic = again || _random.Next(4) > 0 ? kind.Topic : DamageTopic(kind.Topic);
        var before = _kinds.Sum(Settled);
        var handed = _dispatcher.DispatchAsync(_topic, Cut(_payload), null, again || _random.Next(8) == 0, CancellationToken.None);
        if (!handed.IsCompletedSuccessfully)
        {
            throw new InvalidOperationException("A row waits although its queue is empty.");
        }

        kind.Tally.Inputs++;
        Take(kind, !_payload.AsSpan().SequenceEqual(sound));
        var settled = _kinds.Sum(Settled) - before;
        kind.Tally.ForNobody += settled == 0 ? 1 : 0;
        if (settled == 0 && _topic == kind.Topic)
        {
            throw new InvalidOperationException("A message was neither read nor refused.");
        }
    }

    private static long Settled(MessageKind kind) => kind.Inbox.Counters is var counters ? counters.Rows + counters.Malformed + counters.Repeated : 0;

    // A damaged topic can be that of another tester: its rows are looked at all the same.
    private void Take(MessageKind drawn, bool damaged)
    {
        foreach (var kind in _kinds)
        {
            while (kind.Inbox.Rows.TryRead(out var row))
            {
                Check(row);
                drawn.Tally.Rows++;
                drawn.Tally.Damaged += damaged ? 1 : 0;
            }
        }

        (drawn.Tally.Refused, drawn.Tally.Repeated) = (drawn.Inbox.Counters.Malformed, drawn.Inbox.Counters.Repeated);
    }

    private static void Check(in ReadingRow row)
    {
        var sound = row.Present != RowChannels.None
            && row.AtSeconds is >= 0 and <= RowDraft.LatestSeconds
            && row.TemperatureCelsius is >= ReadingRow.LowestCelsius and <= ReadingRow.HighestCelsius
            && double.IsFinite(row.Detector) && double.IsFinite(row.SecondDetector) && Math.Abs(row.Signal) <= RowDraft.LargestSignal;
        if (!sound)
        {
            throw new InvalidOperationException($"A row that cannot be passed: {row}.");
        }
    }

    // Now in one piece, now in two, as buffers of a network are.
    private ReadOnlySequence<byte> Cut(byte[] payload)
    {
        if (payload.Length < 2 || _random.Next(2) == 0)
        {
            return new(payload);
        }

        var at = _random.Next(1, payload.Length);
        var first = new Piece(payload.AsMemory(0, at), null);
        var second = new Piece(payload.AsMemory(at), first);
        return new(first, 0, second, second.Memory.Length);
    }

    private byte[] Damage(byte[] sound)
    {
        if (_random.Next(HugeOneIn) == 0)
        {
            return [.. Enumerable.Repeat(sound[0], LongestInput - _random.Next(16))];
        }

        var at = _random.Next(sound.Length);
        switch (_random.Next(6))
        {
            case 0:
                var noise = new byte[_random.Next(LongestNoise)];
                _random.NextBytes(noise);
                return noise;
            case 1:
                return sound[..at];
            case 2:
                var changed = (byte[])sound.Clone();
                changed[at] ^= (byte)(1 << _random.Next(8));
                return changed;
            case 3:
                return [.. sound[..at], .. sound[Math.Min(sound.Length, at + _random.Next(1, 9))..]];
            case 4:
                return [.. sound, .. sound];
            default:
                return [.. sound[..at], .. Encoding.UTF8.GetBytes(Pieces[_random.Next(Pieces.Length)]), .. sound[at..]];
        }
    }

    private string DamageTopic(string topic)
    {
        var at = _random.Next(topic.Length);
        return _random.Next(7) switch
        {
            0 => topic[..at] + (char)_random.Next(1, 0x3000) + topic[at..],
            1 => topic[..at],
            2 => $"$SYS/{topic}",
            3 => new string('/', _random.Next(1, 2000)),
            4 => string.Concat(Enumerable.Repeat(topic[..(at + 1)], _random.Next(2, 200))),
            5 => topic.Replace("lab", "+", StringComparison.Ordinal),
            _ => $"{topic}/{_random.NextInt64()}",
        };
    }

    private sealed class Piece : ReadOnlySequenceSegment<byte>
    {
        public Piece(ReadOnlyMemory<byte> memory, Piece? before)
        {
            Memory = memory;
            if (before is not null)
            {
                (before.Next, RunningIndex) = (this, before.RunningIndex + before.Memory.Length);
            }
        }
    }
}
