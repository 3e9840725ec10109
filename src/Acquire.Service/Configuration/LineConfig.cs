using System.Text.RegularExpressions;

namespace Acquire.Service.Configuration;

/// <summary>How a line of text is taken apart into channels.</summary>
public abstract record LineLayout
{
    private LineLayout()
    {
    }

    /// <summary>Every channel of a line, in the order of the file.</summary>
    public abstract IEnumerable<ReadingChannel> Channels { get; }

    /// <summary>Columns with a separator between them.</summary>
    /// <param name="List">From left to right, 1 to 64.</param>
    public sealed record Columns(IReadOnlyList<ColumnConfig> List) : LineLayout
    {
        /// <inheritdoc/>
        public override IEnumerable<ReadingChannel> Channels => List.Select(column => column.Channel);
    }

    /// <summary>A regular expression that the whole line must match, with named groups.</summary>
    /// <param name="Expression">Made to match in a time that grows with the line's length only.</param>
    /// <param name="Groups">The groups that are read, 1 to 64.</param>
    public sealed record Pattern(Regex Expression, IReadOnlyList<GroupConfig> Groups) : LineLayout
    {
        /// <inheritdoc/>
        public override IEnumerable<ReadingChannel> Channels => Groups.Select(group => group.Channel);
    }
}

/// <summary>One named group of a pattern.</summary>
/// <param name="Name">Its name in the pattern.</param>
/// <param name="Channel">What it holds.</param>
/// <param name="Unit">Its unit; none for detectors and for yes or no.</param>
public sealed record GroupConfig(string Name, ReadingChannel Channel, ReadingUnit Unit);

/// <summary>What ends a line.</summary>
/// <param name="Bytes">1 to 8 bytes.</param>
/// <param name="DropsCarriageReturn">Whether a CR before them belongs to the end too.</param>
public sealed record LineEnd(ReadOnlyMemory<byte> Bytes, bool DropsCarriageReturn)
{
    /// <summary>LF, or CR LF.</summary>
    public static LineEnd LineFeed { get; } = new("\n"u8.ToArray(), DropsCarriageReturn: true);
}

/// <summary>How a tester is asked for lines.</summary>
/// <param name="Commands">Sent one after the other, each once in a period; 1 to 16.</param>
/// <param name="PeriodMilliseconds">From one time a command is sent to the next, ms; 10 to 60,000.</param>
/// <param name="TimeoutMilliseconds">Silence after which an answer is given up, ms; 20 to 5000.</param>
public sealed record PollConfig(IReadOnlyList<PollCommand> Commands, int PeriodMilliseconds, int TimeoutMilliseconds);

/// <summary>One command and what its answer, a line, holds.</summary>
/// <param name="Send">The bytes, with whatever ends a command; 1 to 64.</param>
/// <param name="Layout">What the answer holds.</param>
public sealed record PollCommand(ReadOnlyMemory<byte> Send, LineLayout Layout);
