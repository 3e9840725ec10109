using System.Globalization;

namespace Acquire.Core.Readings;

/// <summary>Names of the columns that a trace has for what the tester tells of itself and of the bench.</summary>
public static class BenchColumns
{
    /// <summary>Number of the newest drive command that the tester obeys.</summary>
    public const string Command = "command";

    /// <summary>Power given to the heater, 0 to 1.</summary>
    public const string Heater = "heater";

    /// <summary>Speed of the stirrer, r/min.</summary>
    public const string Stirrer = "stirrer_rpm";

    /// <summary>1 while the stirrer turns.</summary>
    public const string Stirring = "stirring";

    /// <summary>1 while the test flame burns.</summary>
    public const string Lit = "lit";

    /// <summary>Speed of the air beside the cup, m/s.</summary>
    public const string Air = "air_m_s";

    /// <summary>Temperature of the room, °C.</summary>
    public const string Ambient = "ambient_c";

    /// <summary>Each column with its channel, in the order of a file.</summary>
    public static IReadOnlyList<(string Column, RowChannels Channel)> All { get; } =
    [
        (Command, RowChannels.Command),
        (Heater, RowChannels.Heater),
        (Stirrer, RowChannels.Stirrer),
        (Stirring, RowChannels.Stirring),
        (Lit, RowChannels.Lit),
        (Air, RowChannels.Air),
        (Ambient, RowChannels.Ambient),
    ];

    /// <summary>The row's value for one of the channels in <see cref="All"/>, as a file has it, every digit kept; empty where the row has none.</summary>
    public static string Text(in ReadingRow row, RowChannels channel) => !row.Has(channel) ? "" : channel switch
    {
        RowChannels.Command => row.Command.ToString(CultureInfo.InvariantCulture),
        RowChannels.Heater => Number(row.HeaterFraction),
        RowChannels.Stirrer => Number(row.StirrerRevolutionsPerMinute),
        RowChannels.Stirring => row.Stirring ? "1" : "0",
        RowChannels.Lit => row.Lit ? "1" : "0",
        RowChannels.Air => Number(row.AirMetresPerSecond),
        RowChannels.Ambient => Number(row.AmbientCelsius),
        _ => throw new ArgumentOutOfRangeException(nameof(channel), channel, "has no column here"),
    };

    private static string Number(double value) => value.ToString("R", CultureInfo.InvariantCulture);

    /// <summary>Place of a column in <see cref="All"/>; negative for any other. Names are exact.</summary>
    internal static int IndexOf(string column)
    {
        for (var i = 0; i < All.Count; i++)
        {
            if (All[i].Column == column)
            {
                return i;
            }
        }

        return -1;
    }

    /// <summary>The row with the values that a line has in these columns; what is wrong with them goes to the line's errors.</summary>
    /// <param name="line">The line.</param>
    /// <param name="slots">Where each of <see cref="All"/> stands in it; negative where it does not.</param>
    /// <param name="row">What the other columns gave.</param>
    internal static ReadingRow Read(in TraceLine line, ReadOnlySpan<int> slots, in ReadingRow row)
    {
        var command = line.WholeAt(slots[0], Command);
        var heater = line.ValueAt(slots[1], Heater, 0, 1);
        var stirrer = line.ValueAt(slots[2], Stirrer, 0, ReadingRow.FastestStirrerRevolutionsPerMinute);
        var stirring = line.ValueAt(slots[3], Stirring, 0, 1);
        var lit = line.ValueAt(slots[4], Lit, 0, 1);
        var air = line.ValueAt(slots[5], Air, 0, ReadingRow.FastestAirMetresPerSecond);
        var ambient = line.ValueAt(slots[6], Ambient, ReadingRow.LowestAmbientCelsius, ReadingRow.HighestAmbientCelsius);
        return row with
        {
            Present = row.Present
                | (command is null ? 0 : RowChannels.Command) | (heater is null ? 0 : RowChannels.Heater)
                | (stirrer is null ? 0 : RowChannels.Stirrer) | (stirring is null ? 0 : RowChannels.Stirring)
                | (lit is null ? 0 : RowChannels.Lit) | (air is null ? 0 : RowChannels.Air) | (ambient is null ? 0 : RowChannels.Ambient),
            Command = command ?? 0,
            HeaterFraction = heater ?? 0,
            StirrerRevolutionsPerMinute = stirrer ?? 0,
            Stirring = stirring >= 0.5,
            Lit = lit >= 0.5,
            AirMetresPerSecond = air ?? 0,
            AmbientCelsius = ambient ?? 0,
        };
    }
}
