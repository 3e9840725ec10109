using Acquire.Core.Readings;
using Acquire.Core.Runs;

namespace Acquire.Service.Lanes;

/// <summary>The newest value of each channel of a tester, so that a person sees it live between runs.</summary>
internal struct LaneReadings
{
    private double _atSeconds;
    private double? _celsius;
    private double? _detector;
    private double? _secondDetector;
    private bool? _flameOver;
    private double? _signal;
    private double? _junctionCelsius;
    private ReadingMarks _marks;
    private bool _any;
    private double? _heaterFraction;
    private double? _stirrerPerMinute;
    private bool? _stirring;
    private bool? _lit;
    private double? _airMetresPerSecond;
    private double? _ambientCelsius;

    /// <summary>Takes what the row carries.</summary>
    public void Take(in ReadingRow row)
    {
        (_any, _atSeconds) = (true, row.AtSeconds);
        _celsius = row.HasSoundTemperature ? row.TemperatureCelsius : _celsius;
        _detector = row.Has(RowChannels.Detector) ? row.Detector : _detector;
        _secondDetector = row.Has(RowChannels.SecondDetector) ? row.SecondDetector : _secondDetector;
        _signal = row.Has(RowChannels.Signal) ? row.Signal : _signal;
        _junctionCelsius = row.Has(RowChannels.Junction) ? row.JunctionCelsius : _junctionCelsius;
        _marks = row.Has(RowChannels.Signal) || row.Has(RowChannels.Temperature) || row.Marks != ReadingMarks.None ? row.Marks : _marks;
        _flameOver = row.Has(RowChannels.Flame) ? row.FlameOver : _flameOver;
        _heaterFraction = row.Has(RowChannels.Heater) ? row.HeaterFraction : _heaterFraction;
        if (row.HasBench)
        {
            TakeBench(row);
        }
    }

    private void TakeBench(in ReadingRow row)
    {
        _stirrerPerMinute = row.Has(RowChannels.Stirrer) ? row.StirrerRevolutionsPerMinute : _stirrerPerMinute;
        _stirring = row.Turns ?? _stirring;
        _lit = row.Has(RowChannels.Lit) ? row.Lit : _lit;
        _airMetresPerSecond = row.Has(RowChannels.Air) ? row.AirMetresPerSecond : _airMetresPerSecond;
        _ambientCelsius = row.Has(RowChannels.Ambient) ? row.AmbientCelsius : _ambientCelsius;
    }

    /// <summary>A status with the newest readings on the tester's own time axis and nothing judged; null before the first row.</summary>
    public readonly RunStatus? Status(RunPhase phase) => !_any ? null : With(new()
    {
        Phase = phase,
        AtSeconds = _atSeconds,
        TemperatureCelsius = _celsius,
        Detector = _detector,
        SecondDetector = _secondDetector,
        FlameOver = _flameOver,
        Applications = 0,
    });

    /// <summary>A run's status with what the thermometer sent and what was told of the bench beside it.</summary>
    public readonly RunStatus With(RunStatus status) => status with
    {
        ThermometerSignal = _signal,
        JunctionCelsius = _junctionCelsius,
        ThermometerMarks = ReadingMarkWords.List(_marks),
        HeaterFraction = _heaterFraction,
        StirrerRevolutionsPerMinute = _stirrerPerMinute,
        Stirring = _stirring,
        Lit = _lit,
        AirMetresPerSecond = _airMetresPerSecond,
        AmbientCelsius = _ambientCelsius,
    };
}
