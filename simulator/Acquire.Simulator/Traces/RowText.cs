using System.Globalization;
using System.Text;
using Acquire.Core.Readings;

namespace Acquire.Simulator;

/// <summary>A row as the simulated tester writes it on a line: time, thermometer, reference junction where the tester has one, detector, second detector where the tester has one, where the row has it the flame, and what is told of the bench; invariant digits, commas, no spaces.</summary>
/// <remarks>
/// What the thermometer, its junction or a second detector does not give leaves its place empty. A tester has a second detector where that is
/// told among the channels, or where its first row has one: what comes later must not move the columns.
/// </remarks>
internal sealed class RowText(RowLayout layout, RowChannels bench)
{
    private readonly (string Column, RowChannels Channel)[] columns = [.. BenchColumns.All.Where(known => (bench & known.Channel) != 0)];

    private bool? hasSecondDetector = (bench & RowChannels.SecondDetector) != 0 ? true : null;

    /// <summary>Takes the first row, which tells whether there is a second detector.</summary>
    public void Begin(in ReadingRow first) => hasSecondDetector ??= first.Has(RowChannels.SecondDetector);

    public string Header(bool hasFlameSignal) => string.Join(
        ',',
        [
            "time_s", layout.Thermometer, .. layout.HasJunction ? [RowLayout.Junction] : Array.Empty<string>(),
            DetectorColumns.First, .. hasSecondDetector == true ? [DetectorColumns.Second] : Array.Empty<string>(),
            .. hasFlameSignal ? ["flame"] : Array.Empty<string>(), .. columns.Select(known => known.Column),
        ]);

    public void Append(StringBuilder text, in ReadingRow row)
    {
        Begin(row);
        text.Append(CultureInfo.InvariantCulture, $"{row.AtSeconds},{layout.ThermometerOf(row)?.ToString(layout.Format, CultureInfo.InvariantCulture)},");
        if (layout.HasJunction)
        {
            text.Append(CultureInfo.InvariantCulture, $"{layout.JunctionOf(row)},");
        }

        if (row.Has(RowChannels.Detector))
        {
            text.Append(CultureInfo.InvariantCulture, $"{row.Detector}");
        }

        if (hasSecondDetector == true)
        {
            text.Append(',');
            if (row.Has(RowChannels.SecondDetector))
            {
                text.Append(CultureInfo.InvariantCulture, $"{row.SecondDetector}");
            }
        }

        if (row.Has(RowChannels.Flame))
        {
            text.Append(row.FlameOver ? ",1" : ",0");
        }

        foreach (var (_, channel) in columns)
        {
            text.Append(',').Append(BenchColumns.Text(row, channel));
        }

        text.Append('\n');
    }
}
