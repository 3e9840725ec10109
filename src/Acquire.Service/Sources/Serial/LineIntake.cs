using Acquire.Service.Configuration;

namespace Acquire.Service.Sources.Serial;

/// <summary>Lines of one opening of a port, without the first one where the opening may have cut it.</summary>
/// <param name="config">What ends a line, and how fast bytes come.</param>
internal sealed class LineIntake(SourceConfig.Serial config)
{
    private const double ShortestSilenceSeconds = 0.05;
    private const int SilentCharacters = 20, BitsPerCharacter = 10;

    private readonly LineFramer _framer = new(config.End);
    private bool? _firstLineIsWhole;

    /// <summary>Where the next bytes are to be written.</summary>
    public Memory<byte> Free => _framer.Free;

    // A line cut at its start may still parse: "215.3" without its "2" is a plausible temperature. So the first line after
    // opening counts only where the wire was silent before it, for longer than a gap inside a line lasts.
    private double SilenceBeforeLineSeconds => Math.Max(ShortestSilenceSeconds, (double)SilentCharacters * BitsPerCharacter / config.BaudRate);

    /// <summary>States that bytes were written at the start of <see cref="Free"/>.</summary>
    /// <param name="count">How many.</param>
    /// <param name="sinceOpened">How long after the opening they came.</param>
    public void Written(int count, TimeSpan sinceOpened)
    {
        _firstLineIsWhole ??= sinceOpened.TotalSeconds >= SilenceBeforeLineSeconds;
        _framer.Written(count);
    }

    /// <summary>Takes the next line. Call until it answers <see cref="FrameKind.None"/>.</summary>
    /// <param name="line">The line; valid until the next call.</param>
    public FrameKind Take(out ReadOnlyMemory<byte> line)
    {
        var kind = _framer.Take(out line);
        if (kind == FrameKind.None || _firstLineIsWhole != false)
        {
            return kind;
        }

        _firstLineIsWhole = true;
        return _framer.Take(out line);
    }
}
