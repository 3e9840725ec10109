using System.Globalization;
using System.Text;
using Acquire.Core.Readings;

namespace Acquire.Simulator;

/// <summary>A row as the simulated tester writes it on a line: time, temperature, detector and, where the row has it, the flame; invariant digits, commas, no spaces.</summary>
internal static class RowText
{
    public static string Header(bool hasFlameSignal) => hasFlameSignal ? "time_s,temperature_c,detector,flame" : "time_s,temperature_c,detector";

    public static void Append(StringBuilder text, in ReadingRow row)
    {
        text.Append(CultureInfo.InvariantCulture, $"{row.AtSeconds},{row.TemperatureCelsius},{row.Detector}");
        if (row.Has(RowChannels.Flame))
        {
            text.Append(row.FlameOver ? ",1" : ",0");
        }

        text.Append('\n');
    }
}
