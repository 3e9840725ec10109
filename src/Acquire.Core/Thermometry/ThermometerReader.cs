using Acquire.Core.Readings;
using Acquire.Core.Runs;

namespace Acquire.Core.Thermometry;

/// <summary>Makes temperatures of one thermometer's signals, row by row, and marks what is not to be trusted.</summary>
/// <remarks>
/// The same chain and the same rows give the same temperatures and marks, live and in replay. A bad reading stays in its row
/// with its signal and its marks; only the temperature is missing where the signal has none. Not thread-safe; belongs to one
/// record of readings. No allocation for a row.
/// </remarks>
public sealed class ThermometerReader
{
    // A pause this many times longer than the longest of late is no longer chance or coarse steps.
    private const double StuckPauses = 20;

    // Shorter than the one above, and no fault yet: enough not to read a point from it.
    private const double RestSeconds = 3;
    private const double RestPauses = 8;

    private readonly ThermometerChain _chain;
    private readonly SignalConverter _converter;
    private readonly CalibrationCurve? _calibration;
    private readonly LagCorrection? _lag;
    private readonly TemperatureGate _gate = new();
    private readonly ValueRhythm _rhythm = new();
    private readonly JunctionWatch _junction;
    private readonly bool _mayRest;
    private bool _shorted;
    private double _soundSignal = double.NaN;
    private double _thermometerAt = double.NaN;
    private double _followedAt = double.NaN;

    /// <param name="chain">What lies between signal and temperature; `ThermometerRules` has nothing against it.</param>
    /// <param name="mayRest">Whether the temperature is meant to stand still, as that of a block held at one: a value that repeats itself is no fault then.</param>
    public ThermometerReader(ThermometerChain chain, bool mayRest = false)
    {
        _mayRest = mayRest;
        ArgumentNullException.ThrowIfNull(chain);
        _chain = chain;
        _converter = new(chain);
        _junction = new(chain.Limits);
        _calibration = chain.Calibration is { } certificate ? new(certificate) : null;
        _lag = chain.Lag is { Correct: true } lag ? new(lag.TimeConstantSeconds) : null;
    }

    /// <summary>Takes a row as it came from the tester.</summary>
    /// <param name="row">Carries <see cref="RowChannels.Signal"/>, or <see cref="RowChannels.Temperature"/> where the tester sends °C, or no thermometer at all.</param>
    /// <returns>The row with the temperature that the chain gives, °C, and with its marks. Marks that it had are replaced, but <see cref="ReadingMarks.Late"/>.</returns>
    public ReadingRow Take(in ReadingRow row)
    {
        if ((row.Marks & ReadingMarks.Late) != 0)
        {
            return TakeLate(row);
        }

        // A time that is none of a run is damage on the wire, and shut out by the supervisor: what is remembered must not hang on it.
        var inTime = Math.Abs(row.AtSeconds) <= RunInput.FarthestSeconds;
        if (row.Has(RowChannels.Junction) && inTime)
        {
            _junction.Take(row.AtSeconds, row.JunctionCelsius);
        }

        if (Signal(row) is not { } signal)
        {
            return row with { Present = row.Present & ~RowChannels.Temperature, Marks = Silence(row.AtSeconds) };
        }

        var marks = _converter.Convert(signal, _junction.At(row.AtSeconds), out var celsius);
        if (marks == ReadingMarks.None)
        {
            marks = Correct(ref celsius);
        }

        if (inTime)
        {
            _thermometerAt = row.AtSeconds;
            marks |= Follow(row.AtSeconds, signal, ref celsius, (marks & ReadingMarks.Bad) != 0);
        }

        return Written(row, signal, celsius, marks);
    }

    // What is remembered is of newer readings, and is not to be disturbed.
    private ReadingRow TakeLate(in ReadingRow row)
    {
        if (Signal(row) is not { } signal)
        {
            return row with { Present = row.Present & ~RowChannels.Temperature };
        }

        var marks = _converter.Convert(signal, _junction.At(row.AtSeconds), out var celsius);
        marks |= marks == ReadingMarks.None ? Correct(ref celsius) : ReadingMarks.None;
        return Written(row, signal, celsius, marks | ReadingMarks.Late | (_lag is null ? ReadingMarks.None : ReadingMarks.LagUncorrected));
    }

    private double? Signal(in ReadingRow row) =>
        row.Has(RowChannels.Signal) ? row.Signal
        : _chain.Unit == ThermometerUnit.Celsius && row.Has(RowChannels.Temperature) ? row.TemperatureCelsius
        : null;

    private ReadingMarks Silence(double atSeconds) => atSeconds - _thermometerAt > _chain.Limits.StaleAfterSeconds ? ReadingMarks.Stale : ReadingMarks.None;

    private ReadingMarks Correct(ref double celsius)
    {
        var marks = ReadingMarks.None;
        if (_calibration is not null)
        {
            var answer = _calibration.At(celsius);
            celsius += answer.CorrectionCelsius;
            marks = answer.Outside ? ReadingMarks.OutsideCalibration : ReadingMarks.None;
        }

        if (_chain.Sensor is LiquidInGlassSensor stem)
        {
            celsius += EmergentStem.CorrectionCelsius(celsius, stem);
        }

        return marks;
    }

    private ReadingMarks Follow(double atSeconds, double signal, ref double celsius, bool bad)
    {
        // A time that does not go forward is judged by the supervisor; here it must not disturb what is remembered.
        if (bad || atSeconds <= _followedAt)
        {
            return bad || _lag is null ? ReadingMarks.None : ReadingMarks.LagUncorrected;
        }

        _followedAt = atSeconds;
        _rhythm.Take(atSeconds, signal);
        if (!_mayRest && _rhythm.IsOverdue(atSeconds, _chain.Limits.StuckAfterSeconds, StuckPauses))
        {
            return ReadingMarks.Stuck;
        }

        var resting = !_mayRest && _rhythm.IsOverdue(atSeconds, RestSeconds, RestPauses) ? ReadingMarks.Resting : ReadingMarks.None;
        var marks = resting | Gate(atSeconds, signal, celsius);
        return (marks & ReadingMarks.Bad) != 0 || _lag is null || _lag.TryCorrect(atSeconds, ref celsius) ? marks : marks | ReadingMarks.LagUncorrected;
    }

    private ReadingMarks Gate(double atSeconds, double signal, double celsius)
    {
        var (keptOut, steps) = (_gate.KeptOut, _gate.Steps);
        _gate.Admit(atSeconds, celsius);
        var marks = ReadingMarks.None;
        if (_gate.KeptOut > keptOut)
        {
            marks |= ReadingMarks.ImpossibleJump;
            _shorted |= _converter.LooksShorted(_soundSignal, signal);
        }

        if (_gate.Steps > steps)
        {
            marks |= ReadingMarks.StepTaken;
            _lag?.Restart();
        }

        _shorted &= _converter.IsNothing(signal);
        _soundSignal = (marks & ReadingMarks.Bad) == 0 ? signal : _soundSignal;
        return marks | (_shorted ? ReadingMarks.ShortCircuit : ReadingMarks.None);
    }

    // The temperature is a value only where it is a number that a row may carry.
    private ReadingRow Written(in ReadingRow row, double signal, double celsius, ReadingMarks marks)
    {
        var hasTemperature = celsius is >= ReadingRow.LowestCelsius and <= ReadingRow.HighestCelsius;
        var keepsSignal = !_chain.IsPlain || !hasTemperature;
        return row with
        {
            Present = (row.Present & ~(RowChannels.Temperature | RowChannels.Signal)) | (hasTemperature ? RowChannels.Temperature : 0) | (keepsSignal ? RowChannels.Signal : 0),
            TemperatureCelsius = hasTemperature ? celsius : 0,
            Signal = keepsSignal ? signal : 0,
            Marks = marks,
        };
    }
}
