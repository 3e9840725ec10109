using System.Globalization;
using System.IO.Ports;

namespace Acquire.Service.Configuration;

/// <summary>Where one tester's readings come from.</summary>
public abstract record SourceConfig
{
    private SourceConfig()
    {
    }

    /// <summary>The source in a few words, for the page.</summary>
    public abstract string Description { get; }

    /// <summary>Every channel that is read, in the order of the file.</summary>
    public abstract IEnumerable<ReadingChannel> Channels { get; }

    /// <summary>Lines of text over a serial port.</summary>
    public sealed record Serial : SourceConfig
    {
        /// <summary>Device path or port name.</summary>
        public required string Port { get; init; }

        /// <summary>Bits per second; 110 to 4,000,000.</summary>
        public required int BaudRate { get; init; }

        /// <summary>5 to 8.</summary>
        public required int DataBits { get; init; }

        /// <summary>Parity bit.</summary>
        public required Parity Parity { get; init; }

        /// <summary>Stop bits.</summary>
        public required StopBits StopBits { get; init; }

        /// <summary>Flow control.</summary>
        public required Handshake Handshake { get; init; }

        /// <summary>What stands between columns; a blank means any run of blanks.</summary>
        public required char Separator { get; init; }

        /// <summary>Decimal point or comma; never the separator.</summary>
        public required char DecimalSeparator { get; init; }

        /// <summary>What a line holds that comes by itself; null where the tester is polled, or nothing is to be read out of its lines.</summary>
        public LineLayout? Layout { get; init; }

        /// <summary>How the tester is asked for lines; null where it sends them by itself.</summary>
        public PollConfig? Poll { get; init; }

        /// <summary>What ends a line.</summary>
        public LineEnd End { get; init; } = LineEnd.LineFeed;

        /// <summary>The checksum of each line; null where there is none.</summary>
        public ChecksumConfig? Checksum { get; init; }

        /// <summary>The line DTR once the port is open; null leaves it to the driver.</summary>
        public bool? Dtr { get; init; }

        /// <summary>The line RTS once the port is open; null leaves it to the driver.</summary>
        public bool? Rts { get; init; }

        /// <summary>What lines hold, one kind of line after the other; together they carry exactly one temperature.</summary>
        public IEnumerable<LineLayout> Layouts => Poll is not null ? Poll.Commands.Select(command => command.Layout) : Layout is not null ? [Layout] : [];

        /// <summary>The port alone.</summary>
        public PortSettings Settings => new(Port, BaudRate, DataBits, Parity, StopBits, Handshake) { Dtr = Dtr, Rts = Rts };

        /// <inheritdoc/>
        public override string Description => string.Create(CultureInfo.InvariantCulture, $"serial {Port}, {BaudRate} baud{(Poll is null ? "" : ", polled")}");

        /// <inheritdoc/>
        public override IEnumerable<ReadingChannel> Channels => Layouts.SelectMany(layout => layout.Channels);
    }

    /// <summary>Messages from an MQTT broker.</summary>
    public sealed record Mqtt : SourceConfig
    {
        /// <summary>The topics; together they carry exactly one temperature.</summary>
        public required IReadOnlyList<TopicConfig> Topics { get; init; }

        /// <summary>How readings that come twice or out of order are known; null where they are taken as they come.</summary>
        public OrderConfig? Order { get; init; }

        /// <inheritdoc/>
        public override string Description => "mqtt " + string.Join(", ", Topics.Select(topic => topic.Filter));

        /// <inheritdoc/>
        public override IEnumerable<ReadingChannel> Channels => Topics.SelectMany(topic => topic.Channels);
    }

    /// <summary>Registers that are asked for by Modbus, again and again.</summary>
    public sealed record Modbus : SourceConfig
    {
        /// <summary>Where the units are.</summary>
        public required ModbusWire Wire { get; init; }

        /// <summary>From one poll to the next, ms; 10 to 10,000.</summary>
        public required int PeriodMilliseconds { get; init; }

        /// <summary>Silence after which a poll is given up, ms; 20 to 5000.</summary>
        public required int TimeoutMilliseconds { get; init; }

        /// <summary>How many registers that nobody wants may be read along to save a request; 0 to 123.</summary>
        public required int LargestGap { get; init; }

        /// <summary>The values; exactly one is the temperature.</summary>
        public required IReadOnlyList<RegisterConfig> Registers { get; init; }

        /// <inheritdoc/>
        public override string Description
        {
            get
            {
                var units = Registers.Select(register => register.UnitId).Distinct().ToArray();
                var wire = Wire is ModbusWire.Rtu rtu ? string.Create(CultureInfo.InvariantCulture, $"rtu {rtu.Name}, {rtu.Settings.BaudRate} baud") : $"tcp {Wire.Name}";
                return $"modbus {wire}, {(units.Length == 1 ? "unit" : "units")} {string.Join(", ", units)}";
            }
        }

        /// <inheritdoc/>
        public override IEnumerable<ReadingChannel> Channels => Registers.Select(register => register.Channel);
    }
}

/// <summary>One column of a serial line.</summary>
/// <param name="Channel">What it holds.</param>
/// <param name="Unit">Its unit; none for detectors, flame and ignored columns.</param>
public sealed record ColumnConfig(ReadingChannel Channel, ReadingUnit Unit);

/// <summary>One topic filter and how its messages are read.</summary>
/// <param name="Filter">MQTT topic filter.</param>
public abstract record TopicConfig(string Filter)
{
    /// <summary>Every channel that the messages carry.</summary>
    public abstract IEnumerable<ReadingChannel> Channels { get; }

    /// <summary>Whether the messages carry the tester's own time.</summary>
    public bool HasTime => Channels.Contains(ReadingChannel.Time);

    /// <summary>A JSON object, or an array of objects, each a row.</summary>
    /// <param name="Filter">MQTT topic filter.</param>
    /// <param name="Fields">The fields that are read.</param>
    public sealed record Json(string Filter, IReadOnlyList<FieldConfig> Fields) : TopicConfig(Filter)
    {
        /// <inheritdoc/>
        public override IEnumerable<ReadingChannel> Channels => Fields.Select(read => read.Channel);
    }

    /// <summary>Lines of columns, each a row.</summary>
    /// <param name="Filter">MQTT topic filter.</param>
    /// <param name="Separator">What stands between columns; a blank means any run of blanks.</param>
    /// <param name="DecimalSeparator">Decimal point or comma; never the separator.</param>
    /// <param name="Columns">The columns from left to right.</param>
    public sealed record Csv(string Filter, char Separator, char DecimalSeparator, IReadOnlyList<ColumnConfig> Columns) : TopicConfig(Filter)
    {
        /// <inheritdoc/>
        public override IEnumerable<ReadingChannel> Channels => Columns.Select(column => column.Channel);
    }

    /// <summary>One number as text.</summary>
    /// <param name="Filter">MQTT topic filter.</param>
    /// <param name="Channel">What it holds.</param>
    /// <param name="Unit">Its unit.</param>
    public sealed record Number(string Filter, ReadingChannel Channel, ReadingUnit Unit) : TopicConfig(Filter)
    {
        /// <inheritdoc/>
        public override IEnumerable<ReadingChannel> Channels => [Channel];
    }
}

/// <summary>One field of a JSON row.</summary>
/// <param name="Path">Names from the outermost object inwards, joined by dots.</param>
/// <param name="Channel">What it holds.</param>
/// <param name="Unit">Its unit.</param>
/// <param name="Optional">Whether a row without it, or with null, is still a row: the channel then has no value.</param>
public sealed record FieldConfig(string Path, ReadingChannel Channel, ReadingUnit Unit, bool Optional);
