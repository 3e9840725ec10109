using System.Globalization;
using System.Text;
using Acquire.Core.Readings;

namespace Acquire.Simulator;

/// <summary>A row as the simulated tester writes it on a line: time, thermometer, reference junction where the tester has one, detector, where the row has it the flame, and what is told of the bench; invariant digits, commas, no spaces.</summary>
/// <remarks>What the thermometer or its junction does not give leaves its place empty.</remarks>
internal sealed class RowText(RowLayout layout, RowChannels bench)
{
    private readonly (string Column, RowChannels Channel)[] columns = [.. BenchColumns.All.Where(known => (bench & known.Channel) != 0)];

    public string Header(bool hasFlameSignal) => string.Join(
        ',',
        ["time_s", layout.Thermometer, .. layout.HasJunction ? [RowLayout.Junction] : Array.Empty<string>(), "detector", .. hasFlameSignal ? ["flame"] : Array.Empty<string>(), .. columns.Select(known => known.Column)]);

    public void Append(StringBuilder text, in ReadingRow row)
    {
        text.Append(CultureInfo.InvariantCulture, $"{row.AtSeconds},{layout.ThermometerOf(row)?.ToString(layout.Format, CultureInfo.InvariantCulture)},");
        if (layout.HasJunction)
        {
            text.Append(CultureInfo.InvariantCulture, $"{layout.JunctionOf(row)},");
        }

        if (row.Has(RowChannels.Detector))
        {
            text.Append(CultureInfo.InvariantCulture, $"{row.Detector}");
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
