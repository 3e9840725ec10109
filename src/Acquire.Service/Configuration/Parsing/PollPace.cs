namespace Acquire.Service.Configuration.Parsing;

/// <summary>Whether a serial line carries what a tester is asked for in one period: every command, and the shortest answer that its layout allows.</summary>
internal static class PollPace
{
    /// <summary>Checks a polled source. What the tester needs to think of an answer comes on top and is not known.</summary>
    public static void Check(ConfigObject source, SourceConfig.Serial config)
    {
        if (config.Poll is not { } poll)
        {
            return;
        }

        var characters = poll.Commands.Sum(command => command.Send.Length + ShortestAnswer(command.Layout) + config.End.Bytes.Length + (config.Checksum is { } checksum ? checksum.Skip + checksum.Width : 0));
        var milliseconds = config.Settings.SecondsFor(characters) * 1000;
        if (milliseconds > poll.PeriodMilliseconds)
        {
            source.Refuse("poll.periodMilliseconds", FormattableString.Invariant($"given {poll.PeriodMilliseconds}; at {config.BaudRate} baud one round of its commands and their shortest answers takes {milliseconds:0} ms. Allowed: at least {Math.Ceiling(milliseconds)}, or a higher baudRate"));
        }
    }

    // A digit in each column or group, and what stands between columns. What a pattern has around its groups is not known.
    private static int ShortestAnswer(LineLayout layout) => layout is LineLayout.Columns { List: var columns } ? (2 * columns.Count) - 1 : layout.Channels.Count();
}
