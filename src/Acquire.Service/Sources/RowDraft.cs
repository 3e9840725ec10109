using System.Globalization;
using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Thermometry;
using Acquire.Service.Configuration;

namespace Acquire.Service.Sources;

/// <summary>A row while its values come in one by one. Values are converted and checked, never clamped.</summary>
public struct RowDraft
{
    /// <summary>Latest time a row may carry, s. Counted from 1970 as many clocks do, that is in the year 2286.</summary>
    public const double LatestSeconds = 1e10;

    /// <summary>Largest absolute value of a voltage, resistance or current, in the unit it comes in.</summary>
    public const double LargestSignal = 1e9;

    private double? _atSeconds;
    private RowChannels _present;
    private double _temperatureCelsius;
    private double _signal;
    private double _junctionCelsius;
    private double _detector;
    private double _secondDetector;
    private bool _flameOver;
    private long _command;
    private double _heaterFraction;
    private double _stirrerPerMinute;
    private bool _stirring;
    private bool _lit;
    private double _airMetresPerSecond;
    private double _ambientCelsius;
    private double _pressureKilopascals;

    /// <summary>Whether any channel has a value.</summary>
    public readonly bool HasValue => _present != RowChannels.None;

    /// <summary>Takes a number for any channel that has one.</summary>
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
                    return Refusal(value, unit == ReadingUnit.Milliseconds ? "ms" : "s", "0 to 10000000000 s");
                }

                _atSeconds = seconds;
                return null;
            case ReadingChannel.Temperature:
                return TakeTemperature(unit, value);
            case ReadingChannel.Junction:
                return TakeIn(RowChannels.Junction, ref _junctionCelsius, Base(unit, value), RefuseCelsius(unit, value, ReadingRow.LowestCelsius, ReadingRow.HighestCelsius));
            case ReadingChannel.Detector:
                return TakeIn(RowChannels.Detector, ref _detector, value, double.IsFinite(value) ? null : Refusal(value, "", "a finite number"));
            case ReadingChannel.SecondDetector:
                return TakeIn(RowChannels.SecondDetector, ref _secondDetector, value, double.IsFinite(value) ? null : Refusal(value, "", "a finite number"));
            case ReadingChannel.Heater:
                var (fraction, most) = unit == ReadingUnit.Percent ? (value / 100, 100) : (value, 1);
                return TakeIn(RowChannels.Heater, ref _heaterFraction, fraction, RefuseBeyond(value, most, unit == ReadingUnit.Percent ? "%" : ""));
            case ReadingChannel.Stirrer:
                return TakeIn(RowChannels.Stirrer, ref _stirrerPerMinute, value, RefuseBeyond(value, ReadingRow.FastestStirrerRevolutionsPerMinute, "r/min"));
            case ReadingChannel.Air:
                return TakeIn(RowChannels.Air, ref _airMetresPerSecond, value, RefuseBeyond(value, ReadingRow.FastestAirMetresPerSecond, "m/s"));
            case ReadingChannel.Ambient:
                return TakeIn(RowChannels.Ambient, ref _ambientCelsius, Base(unit, value), RefuseCelsius(unit, value, ReadingRow.LowestAmbientCelsius, ReadingRow.HighestAmbientCelsius));
            case ReadingChannel.Pressure:
                var barometer = unit.ToPressure() ?? PressureUnit.Kilopascal;
                return TakeIn(RowChannels.Pressure, ref _pressureKilopascals, PressureUnits.ToKilopascals(value, barometer), RefusePressure(barometer, value));
            default:
                return null;
        }
    }

    /// <summary>Takes a yes or no: where the test flame stands, whether it burns, whether the stirrer turns.</summary>
    /// <param name="channel">One for which <see cref="ReadingChannels.IsYesOrNo"/> is true.</param>
    /// <param name="yes">As sent.</param>
    public void Take(ReadingChannel channel, bool yes)
    {
        switch (channel)
        {
            case ReadingChannel.Flame:
                (_flameOver, _present) = (yes, _present | RowChannels.Flame);
                break;
            case ReadingChannel.Stirring:
                (_stirring, _present) = (yes, _present | RowChannels.Stirring);
                break;
            case ReadingChannel.Lit:
                (_lit, _present) = (yes, _present | RowChannels.Lit);
                break;
            default:
                throw new ArgumentOutOfRangeException(nameof(channel), channel, "says neither yes nor no");
        }
    }

    /// <summary>Takes the number of the newest drive command that the tester obeys; 0 or above.</summary>
    public void TakeCommand(long sequence) => (_command, _present) = (sequence, _present | RowChannels.Command);

    /// <summary>Takes the text that stands for any channel on a wire.</summary>
    /// <param name="channel">What it is.</param>
    /// <param name="unit">Its unit.</param>
    /// <param name="text">ASCII, without blanks around it.</param>
    /// <param name="decimalSeparator">Point or comma.</param>
    /// <returns>Null where it was taken, else what it held and what is allowed.</returns>
    public string? TakeText(ReadingChannel channel, ReadingUnit unit, ReadOnlySpan<byte> text, char decimalSeparator)
    {
        if (channel.IsYesOrNo())
        {
            if (!NumberText.TryReadYesOrNo(text, out var yes))
            {
                return $"given \"{NumberText.Shown(text)}\"; allowed: {NumberText.AllowedYesOrNo}";
            }

            Take(channel, yes);
            return null;
        }

        if (channel == ReadingChannel.Command)
        {
            if (!NumberText.TryReadWhole(text, out var sequence))
            {
                return $"given \"{NumberText.Shown(text)}\"; allowed: {NumberText.AllowedWhole}";
            }

            TakeCommand(sequence);
            return null;
        }

        return NumberText.TryReadNumber(text, decimalSeparator, out var value)
            ? Take(channel, unit, value)
            : $"given \"{NumberText.Shown(text)}\"; allowed: a number such as 21{decimalSeparator}5";
    }

    /// <summary>The row.</summary>
    /// <param name="arrivalSeconds">Time for a row that brought none, s.</param>
    public readonly ReadingRow ToRow(double arrivalSeconds) => new(_atSeconds ?? arrivalSeconds, _present, _temperatureCelsius, _detector, _flameOver)
    {
        SecondDetector = _secondDetector,
        Signal = _signal,
        JunctionCelsius = _junctionCelsius,
        Command = _command,
        HeaterFraction = _heaterFraction,
        StirrerRevolutionsPerMinute = _stirrerPerMinute,
        Stirring = _stirring,
        Lit = _lit,
        AirMetresPerSecond = _airMetresPerSecond,
        AmbientCelsius = _ambientCelsius,
        PressureKilopascals = _pressureKilopascals,
    };

    private string? TakeIn(RowChannels channel, ref double slot, double value, string? mistake)
    {
        if (mistake is null)
        {
            (slot, _present) = (value, _present | channel);
        }

        return mistake;
    }

    private string? TakeTemperature(ReadingUnit unit, double value)
    {
        var isTemperature = unit is ReadingUnit.Celsius or ReadingUnit.Kelvin or ReadingUnit.Fahrenheit;
        if ((isTemperature ? RefuseCelsius(unit, value, ReadingRow.LowestCelsius, ReadingRow.HighestCelsius) : RefuseSignal(unit, value)) is { } mistake)
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

    private static string? RefuseCelsius(ReadingUnit unit, double value, double lowest, double highest) => Base(unit, value) is var celsius && celsius >= lowest && celsius <= highest
        ? null
        : Refusal(value, Symbol(unit), string.Create(CultureInfo.InvariantCulture, $"{lowest} to {highest} °C"));

    private static string? RefusePressure(PressureUnit unit, double value) => RunPlan.StationPressureRangeKilopascals is var range && range.Contains(PressureUnits.ToKilopascals(value, unit))
        ? null
        : Refusal(value, PressureUnits.Word(unit), string.Create(CultureInfo.InvariantCulture, $"{range.From} to {range.To} kPa"));

    private static string? RefuseBeyond(double value, double most, string symbol) => value >= 0 && value <= most
        ? null
        : Refusal(value, symbol, string.Create(CultureInfo.InvariantCulture, $"0 to {most}{(symbol.Length > 0 ? " " : "")}{symbol}"));

    private static string? RefuseSignal(ReadingUnit unit, double value) => Math.Abs(value) <= LargestSignal
        ? null
        : Refusal(value, Symbol(unit), string.Create(CultureInfo.InvariantCulture, $"{-LargestSignal} to {LargestSignal} {Symbol(unit)}"));

    private static string Refusal(double value, string symbol, string allowed) =>
        string.Create(CultureInfo.InvariantCulture, $"given {value}{(symbol.Length > 0 ? " " : "")}{symbol}; allowed: {allowed}");
}
