using System.Globalization;
using System.Text;
using Acquire.Core.Readings;

namespace Acquire.Simulator;

/// <summary>A row as the simulated tester writes it on a line: time, thermometer, reference junction where the tester has one, detector where the row has it the flame, and of a driven tester the command it obeys and the power of its heater; invariant digits, commas, no spaces.</summary>
/// <remarks>What the thermometer or its junction does not give leaves its place empty; so does a command where none is obeyed.</remarks>
internal sealed class RowText(RowLayout layout)
{
    public string Header(bool hasFlameSignal) => string.Join(
        ',',
        ["time_s", layout.Thermometer, .. layout.HasJunction ? [RowLayout.Junction] : Array.Empty<string>(), "detector", .. hasFlameSignal ? ["flame"] : Array.Empty<string>(), .. layout.IsDriven ? [RowLayout.Command, RowLayout.Heater] : Array.Empty<string>()]);

    public void Append(StringBuilder text, in ReadingRow row)
    {
        text.Append(CultureInfo.InvariantCulture, $"{row.AtSeconds},{layout.ThermometerOf(row)?.ToString(layout.Format, CultureInfo.InvariantCulture)},");
        if (layout.HasJunction)
        {
            text.Append(CultureInfo.InvariantCulture, $"{layout.JunctionOf(row)},");
        }

        text.Append(CultureInfo.InvariantCulture, $"{row.Detector}");
        if (row.Has(RowChannels.Flame))
        {
            text.Append(row.FlameOver ? ",1" : ",0");
        }

        if (layout.IsDriven)
        {
            text.Append(CultureInfo.InvariantCulture, $",{(row.Has(RowChannels.Command) ? row.Command : (long?)null)},{row.HeaterFraction}");
        }

        text.Append('\n');
    }
}
