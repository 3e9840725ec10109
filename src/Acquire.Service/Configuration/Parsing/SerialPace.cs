using Acquire.Core.Control;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Whether a serial line is fast enough to drive a tester: three commands within a lifetime, and a row beside each.</summary>
internal static class SerialPace
{
    // The longest usual command line and its end; a column of a row such as "-123.45,".
    private const int CommandCharacters = 45, ColumnCharacters = 8;

    public static void Check(ConfigObject tester, SourceConfig.Serial source, int lifetimeMilliseconds)
    {
        // A pattern may have more between its groups; what is known of it are the groups.
        var columns = source.Channels.Count();
        var bits = Heartbeat.CommandsWithinLifetime * (CommandCharacters + (ColumnCharacters * columns)) * source.Settings.BitsPerCharacter;
        var needed = (int)Math.Ceiling(bits * 1000 / lifetimeMilliseconds);
        if (source.BaudRate < needed)
        {
            tester.Refuse("source.baudRate", FormattableString.Invariant($"given {source.BaudRate}; with rows of {columns} columns three commands within a lifetime of {lifetimeMilliseconds} ms need at least {needed} baud. Allowed: that, or a drive.lifetimeMilliseconds of at least {Math.Ceiling(bits * 1000 / source.BaudRate)}, up to {DriveCommand.LongestLifetimeMilliseconds}"));
        }
    }
}
