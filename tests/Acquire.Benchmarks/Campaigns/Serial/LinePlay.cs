using System.Text;
using Acquire.Core.Readings;
using Acquire.Service.Sources;
using Acquire.Service.Sources.Serial;

namespace Acquire.Benchmarks.Campaigns.Serial;

/// <summary>Draws one input after the other and gives it to framer and decoder as a port does, in pieces.</summary>
internal sealed class LinePlay : IFuzzPlay
{
    /// <summary>Longest input, bytes.</summary>
    public const int LongestInput = 3000;

    private const int UsualLength = 120;
    private static readonly string[] Pieces = ["NaN", "Infinity", "-1e308", "9e9", "1e-300", ",", ";", "*", "+", "\r", "\n", "\u0003"];

    private readonly Random _random;
    private readonly LineReader[] _readers;
    private LineReader _reader = null!;
    private byte[] _input = [];

    /// <param name="random">Draws.</param>
    public LinePlay(Random random)
    {
        _random = random;
        _readers = [.. LineReader.All()];
    }

    /// <summary>The newest input.</summary>
    public ReadOnlySpan<byte> Input => _input;

    /// <inheritdoc/>
    public string Newest => $"{Convert.ToHexString(Input)} for {Reader}";

    /// <summary>What it was given to.</summary>
    public string Reader => _reader.Name;

    /// <summary>What became of the inputs, by kind of line.</summary>
    public IEnumerable<(string Name, LineTally Tally)> Tallies => _readers.Select(reader => (reader.Name, reader.Tally));

    /// <summary>Plays one input.</summary>
    public void Once()
    {
        _reader = _readers[_random.Next(_readers.Length)];
        var sound = _reader.SoundLine(_random);
        _input = Damage(sound);
        var damaged = !_input.AsSpan().StartsWith(sound);
        var framer = new LineFramer(_reader.Config.End);
        _reader.Tally.Inputs++;
        var rest = _input.AsSpan();
        while (!rest.IsEmpty)
        {
            var count = Math.Min(Math.Min(rest.Length, _random.Next(1, 1000)), framer.Free.Length);
            rest[..count].CopyTo(framer.Free.Span);
            framer.Written(count);
            rest = rest[count..];
            while (framer.Take(out var line) is var kind && kind != FrameKind.None)
            {
                Take(kind, line.Span, damaged);
            }
        }
    }

    private void Take(FrameKind kind, ReadOnlySpan<byte> line, bool damaged)
    {
        var tally = _reader.Tally;
        if (kind == FrameKind.TooLong)
        {
            tally.TooLong++;
            return;
        }

        tally.Lines++;
        if (line.Length > LineFramer.LongestLineBytes)
        {
            throw new InvalidOperationException($"A line of {line.Length} bytes passed.");
        }

        if (!_reader.Decoder.TryDecode(line, 1, out var row, out var error))
        {
            ArgumentException.ThrowIfNullOrEmpty(error.Message);
            tally.Refused++;
            return;
        }

        Check(row);
        tally.Rows++;
        tally.Damaged += damaged ? 1 : 0;
    }

    private static void Check(in ReadingRow row)
    {
        var sound = row.Present != RowChannels.None
            && row.AtSeconds is >= 0 and <= RowDraft.LatestSeconds
            && row.TemperatureCelsius is >= ReadingRow.LowestCelsius and <= ReadingRow.HighestCelsius
            && double.IsFinite(row.Detector) && Math.Abs(row.Signal) <= RowDraft.LargestSignal && row.HeaterFraction is >= 0 and <= 1;
        if (!sound)
        {
            throw new InvalidOperationException($"A row that cannot be passed: {row}.");
        }
    }

    // A quarter sound, an eighth noise, the rest damaged: bytes changed, cut off, doubled, lost, put in, or far too long.
    private byte[] Damage(byte[] line)
    {
        switch (_random.Next(8))
        {
            case 0 or 1:
                return line;
            case 2:
                var noise = new byte[_random.Next(UsualLength)];
                _random.NextBytes(noise);
                return noise;
            case 3:
                return [.. line[..^_random.Next(line.Length)], .. line];
            case 4:
                var changed = (byte[])line.Clone();
                changed[_random.Next(line.Length)] ^= (byte)(1 << _random.Next(8));
                return changed;
            case 5:
                var lost = _random.Next(line.Length);
                return [.. line[..lost], .. line[Math.Min(line.Length, lost + _random.Next(1, 9))..], .. line];
            case 6:
                var at = _random.Next(line.Length);
                return [.. line[..at], .. Encoding.ASCII.GetBytes(Pieces[_random.Next(Pieces.Length)]), .. line[at..]];
            default:
                return _random.Next(16) == 0 ? [.. Enumerable.Repeat((byte)_random.Next(256), _random.Next(LongestInput - line.Length)), .. line] : line[_random.Next(line.Length)..];
        }
    }
}
