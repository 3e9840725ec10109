using System.Globalization;
using Acquire.Core.Readings;
using Acquire.Service.Configuration;

namespace Acquire.Service.Sources;

/// <summary>A row while its values come in one by one. Values are converted and checked, never clamped.</summary>
public struct RowDraft
{
    /// <summary>Latest time a row may carry, s.</summary>
    public const double LatestSeconds = 1e9;

    private double? _atSeconds;
    private RowChannels _present;
    private double _temperatureCelsius;
    private double _detector;
    private bool _flameOver;

    /// <summary>Whether any channel has a value.</summary>
    public readonly bool HasValue => _present != RowChannels.None;

    /// <summary>Takes a number for time, temperature or detector.</summary>
    /// <param name="channel">What it is.</param>
    /// <param name="unit">Its unit.</param>
    /// <param name="value">As sent.</param>
    /// <returns>Null where it was taken, else what is allowed.</returns>
    public string? Take(ReadingChannel channel, ReadingUnit unit, double value)
    {
        switch (channel)
        {
            case ReadingChannel.Time:
                var seconds = unit == ReadingUnit.Milliseconds ? value / 1000 : value;
                if (!(seconds >= 0 && seconds <= LatestSeconds))
                {
                    return Refusal(value, unit == ReadingUnit.Milliseconds ? "ms" : "s", "0 to 1000000000 s");
                }

                _atSeconds = seconds;
                return null;
            case ReadingChannel.Temperature:
                return TakeTemperature(unit, value);
            case ReadingChannel.Detector:
                if (!double.IsFinite(value))
                {
                    return Refusal(value, "", "a finite number");
                }

                _detector = value;
                _present |= RowChannels.Detector;
                return null;
            default:
                return null;
        }
    }

    /// <summary>Takes the test-flame position.</summary>
    public void TakeFlame(bool over)
    {
        _flameOver = over;
        _present |= RowChannels.Flame;
    }

    /// <summary>The row.</summary>
    /// <param name="arrivalSeconds">Time for a row that brought none, s.</param>
    public readonly ReadingRow ToRow(double arrivalSeconds) => new(_atSeconds ?? arrivalSeconds, _present, _temperatureCelsius, _detector, _flameOver);

    private string? TakeTemperature(ReadingUnit unit, double value)
    {
        var (celsius, symbol) = unit switch
        {
            ReadingUnit.Kelvin => (value - 273.15, "K"),
            ReadingUnit.Fahrenheit => ((value - 32) / 1.8, "°F"),
            _ => (value, "°C"),
        };
        if (!(celsius >= ReadingRow.LowestCelsius && celsius <= ReadingRow.HighestCelsius))
        {
            return Refusal(value, symbol, string.Create(CultureInfo.InvariantCulture, $"{ReadingRow.LowestCelsius} to {ReadingRow.HighestCelsius} °C"));
        }

        _temperatureCelsius = celsius;
        _present |= RowChannels.Temperature;
        return null;
    }

    private static string Refusal(double value, string symbol, string allowed) =>
        string.Create(CultureInfo.InvariantCulture, $"given {value}{(symbol.Length > 0 ? " " : "")}{symbol}; allowed: {allowed}");
}
