using System.Globalization;
using Acquire.Core.Readings;

namespace Acquire.Service.Archive.Exports;

/// <summary>A column of a run's readings in a file.</summary>
/// <param name="Name">Its name, with its unit where it has one that is known.</param>
/// <param name="Unit">The unit in words; null where it is the tester's own, or there is none.</param>
/// <param name="Channel">The channel that must be there for a value; none for the time and for the marks.</param>
internal abstract record ReadingColumn(string Name, string? Unit, RowChannels Channel)
{
    /// <summary>Whether a row has a value.</summary>
    public bool IsIn(in ReadingRow row) => (row.Present & Channel) == Channel;

    /// <summary>The value as a text file has it, every digit kept; empty where the row has none.</summary>
    public string Text(in ReadingRow row) => IsIn(row) ? Written(row) : "";

    /// <summary>A value that is there.</summary>
    protected abstract string Written(in ReadingRow row);
}

/// <summary>A column of numbers.</summary>
internal sealed record NumberReadingColumn(string Name, string? Unit, RowChannels Channel, Func<ReadingRow, double> Of) : ReadingColumn(Name, Unit, Channel)
{
    /// <inheritdoc/>
    protected override string Written(in ReadingRow row) => Of(row).ToString("R", CultureInfo.InvariantCulture);
}

/// <summary>A column of whole numbers.</summary>
internal sealed record WholeReadingColumn(string Name, RowChannels Channel, Func<ReadingRow, long> Of) : ReadingColumn(Name, null, Channel)
{
    /// <inheritdoc/>
    protected override string Written(in ReadingRow row) => Of(row).ToString(CultureInfo.InvariantCulture);
}

/// <summary>A column of yes and no: 1 and 0 in a text file.</summary>
internal sealed record FlagReadingColumn(string Name, RowChannels Channel, Func<ReadingRow, bool> Of) : ReadingColumn(Name, null, Channel)
{
    /// <inheritdoc/>
    protected override string Written(in ReadingRow row) => Of(row) ? "1" : "0";
}

/// <summary>What is known against a thermometer reading: words joined by a plus; none for a reading without.</summary>
internal sealed record MarksReadingColumn() : ReadingColumn(ThermometerColumns.Marks, null, RowChannels.None)
{
    /// <inheritdoc/>
    protected override string Written(in ReadingRow row) => ReadingMarkWords.Join(row.Marks);
}
