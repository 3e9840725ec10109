using Acquire.Core.Detection;
using Acquire.Core.Readings;
using Acquire.Core.Runs;

namespace Acquire.Simulator;

/// <summary>The lowest and highest rate, as it goes on record, while the controlled band holds and the heater is on.</summary>
internal sealed class HeldRate
{
    private readonly RampEstimator record = new();
    private double sinceSeconds = double.NaN;
    private double firstSeconds = double.NaN;
    private bool isOver;

    /// <summary>Since the controlled band holds.</summary>
    public RateSpan? Held { get; private set; }

    /// <summary>Since the first application.</summary>
    public RateSpan? Applied { get; private set; }

    public void Note(RunOutput output)
    {
        switch (output)
        {
            case BandEntered { UntilCelsius: null } entered:
                sinceSeconds = entered.AtSeconds;
                break;
            case ApplicationStarted { Number: 1 } first:
                firstSeconds = first.AtSeconds;
                break;

            // Once the specimen burns, or the heater is off, no control holds anything.
            case HeaterCut or BurnEnded or RunClosed or AlarmRaised { Code: Core.Alarms.AlarmCodes.SpecimenBurning }:
                isOver = true;
                break;
        }
    }

    public void Take(in ReadingRow row)
    {
        if (!isOver && row.HasSoundTemperature && record.Add(row.AtSeconds, row.TemperatureCelsius))
        {
            Held = Widened(Held, sinceSeconds);
            Applied = Widened(Applied, firstSeconds);
        }
    }

    // As in the record of a run: a window that ends in the controlled band begins there too.
    private RateSpan? Widened(RateSpan? span, double notBeforeSeconds)
    {
        if (double.IsNaN(notBeforeSeconds) || record.Fit(RampEstimator.RecordWindowSeconds, notBeforeSeconds) is not { } line)
        {
            return span;
        }

        var perMinute = line.SlopePerSecond * 60;
        return span is null ? new(perMinute, perMinute) : new(Math.Min(span.Lowest, perMinute), Math.Max(span.Highest, perMinute));
    }
}

/// <summary>The rates over 30 s, as they go on record, of a stretch of heating.</summary>
/// <param name="Lowest">Lowest of them, °C/min.</param>
/// <param name="Highest">Highest of them, °C/min.</param>
public sealed record RateSpan(double Lowest, double Highest)
{
    /// <summary>The largest distance from a rate, °C/min.</summary>
    public double WorstFrom(double perMinute) => Math.Max(perMinute - Lowest, Highest - perMinute);
}
