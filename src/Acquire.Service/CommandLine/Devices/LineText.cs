using System.Globalization;
using Acquire.Core.Readings;
using Acquire.Core.Thermometry;
using Acquire.Service.Sources;

namespace Acquire.Service.CommandLine.Devices;

/// <summary>A line of a wire for a person: what was read, and beside it the line as it came.</summary>
internal static class LineText
{
    private const int ReadWidth = 56;

    /// <summary>The line with its readings.</summary>
    /// <param name="atSeconds">When it came, s.</param>
    /// <param name="line">The line and what became of it.</param>
    /// <param name="unit">Unit of a thermometer's signal.</param>
    public static string Of(double atSeconds, TappedLine line, ThermometerUnit unit)
    {
        var raw = WireText.Escape(line.Text.Span);
        var time = string.Create(CultureInfo.InvariantCulture, $"{atSeconds,10:0.000}");
        var read = line.Row is { } row ? Readings(row, unit) : line.Error is { } error ? $"REFUSED {error}" : null;
        return read is null ? $"{time}  {raw}" : $"{time}  {read.PadRight(ReadWidth)}  | {raw}";
    }

    private static string Readings(ReadingRow row, ThermometerUnit unit)
    {
        var texts = new List<string>();
        Add(RowChannels.Temperature, $"temperature {row.TemperatureCelsius} °C");
        Add(RowChannels.Signal, $"signal {row.Signal} {ThermometerUnits.Symbol(unit)}");
        Add(RowChannels.Junction, $"junction {row.JunctionCelsius} °C");
        Add(RowChannels.Detector, $"detector {row.Detector}");
        Add(RowChannels.SecondDetector, $"second detector {row.SecondDetector}");
        Add(RowChannels.Flame, $"flame {Word(row.FlameOver)}");
        Add(RowChannels.Command, $"command {row.Command}");
        Add(RowChannels.Heater, $"heater {row.HeaterFraction * 100} %");
        Add(RowChannels.Stirrer, $"stirrer {row.StirrerRevolutionsPerMinute} r/min");
        Add(RowChannels.Stirring, $"stirring {Word(row.Stirring)}");
        Add(RowChannels.Lit, $"lit {Word(row.Lit)}");
        Add(RowChannels.Air, $"air {row.AirMetresPerSecond} m/s");
        Add(RowChannels.Ambient, $"ambient {row.AmbientCelsius} °C");
        Add(RowChannels.Pressure, $"pressure {row.PressureKilopascals:0.####} kPa");
        return string.Join(", ", texts);

        void Add(RowChannels channel, FormattableString text)
        {
            if (row.Present.HasFlag(channel))
            {
                texts.Add(FormattableString.Invariant(text));
            }
        }
    }

    private static string Word(bool yes) => yes ? "yes" : "no";
}
