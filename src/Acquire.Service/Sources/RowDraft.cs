using System.Globalization;
using Acquire.Core.Readings;
using Acquire.Core.Thermometry;
using Acquire.Service.Configuration;

namespace Acquire.Service.Sources;

/// <summary>A row while its values come in one by one. Values are converted and checked, never clamped.</summary>
public struct RowDraft
{
    /// <summary>Latest time a row may carry, s.</summary>
    public const double LatestSeconds = 1e9;

    /// <summary>Largest absolute value of a voltage, resistance or current, in the unit it comes in.</summary>
    public const double LargestSignal = 1e9;

    private double? _atSeconds;
    private RowChannels _present;
    private double _temperatureCelsius;
    private double _signal;
    private double _junctionCelsius;
    private double _detector;
    private bool _flameOver;

    /// <summary>Whether any channel has a value.</summary>
    public readonly bool HasValue => _present != RowChannels.None;

    /// <summary>Takes a number for time, temperature, junction or detector.</summary>
    /// <remarks>A temperature in °C becomes the row's temperature, in any other unit its signal, as sent: what it is worth is for the tester's thermometer chain to say.</remarks>
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
            case ReadingChannel.Junction:
                var junction = Base(unit, value);
                if (RefuseCelsius(unit, value, junction) is { } mistake)
                {
                    return mistake;
                }

                _junctionCelsius = junction;
                _present |= RowChannels.Junction;
                return null;
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
    public readonly ReadingRow ToRow(double arrivalSeconds) => new(_atSeconds ?? arrivalSeconds, _present, _temperatureCelsius, _detector, _flameOver)
    {
        Signal = _signal,
        JunctionCelsius = _junctionCelsius,
    };

    private string? TakeTemperature(ReadingUnit unit, double value)
    {
        var isTemperature = unit is ReadingUnit.Celsius or ReadingUnit.Kelvin or ReadingUnit.Fahrenheit;
        if ((isTemperature ? RefuseCelsius(unit, value, Base(unit, value)) : RefuseSignal(unit, value)) is { } mistake)
        {
            return mistake;
        }

        if (unit == ReadingUnit.Celsius)
        {
            _temperatureCelsius = value;
            _present |= RowChannels.Temperature;
        }
        else
        {
            _signal = value;
            _present |= RowChannels.Signal;
        }

        return null;
    }

    private static double Base(ReadingUnit unit, double value) => ThermometerUnits.ToBase(value, unit.ToThermometer() ?? ThermometerUnit.Celsius);

    private static string Symbol(ReadingUnit unit) => ThermometerUnits.Symbol(unit.ToThermometer() ?? ThermometerUnit.Celsius);

    private static string? RefuseCelsius(ReadingUnit unit, double value, double celsius) => celsius >= ReadingRow.LowestCelsius && celsius <= ReadingRow.HighestCelsius
        ? null
        : Refusal(value, Symbol(unit), string.Create(CultureInfo.InvariantCulture, $"{ReadingRow.LowestCelsius} to {ReadingRow.HighestCelsius} °C"));

    private static string? RefuseSignal(ReadingUnit unit, double value) => Math.Abs(value) <= LargestSignal
        ? null
        : Refusal(value, Symbol(unit), string.Create(CultureInfo.InvariantCulture, $"{-LargestSignal} to {LargestSignal} {Symbol(unit)}"));

    private static string Refusal(double value, string symbol, string allowed) =>
        string.Create(CultureInfo.InvariantCulture, $"given {value}{(symbol.Length > 0 ? " " : "")}{symbol}; allowed: {allowed}");
}
