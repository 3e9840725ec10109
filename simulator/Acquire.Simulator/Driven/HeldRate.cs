using Acquire.Core.Detection;
using Acquire.Core.Readings;
using Acquire.Core.Runs;

namespace Acquire.Simulator;

/// <summary>The lowest and highest rate, as it goes on record, while the controlled band holds and the heater is on.</summary>
internal sealed class HeldRate
{
    private readonly RampEstimator record = new();
    private double sinceSeconds = double.NaN;
    private bool isOver;

    public double? Lowest { get; private set; }

    public double? Highest { get; private set; }

    public void Note(RunOutput output)
    {
        if (output is BandEntered { UntilCelsius: null } entered)
        {
            sinceSeconds = entered.AtSeconds;
        }

        // Once the specimen burns, or the heater is off, no control holds anything.
        isOver |= output is HeaterCut or BurnEnded or RunClosed or AlarmRaised { Code: Core.Alarms.AlarmCodes.SpecimenBurning };
    }

    public void Take(in ReadingRow row)
    {
        if (isOver || !row.HasSoundTemperature || !record.Add(row.AtSeconds, row.TemperatureCelsius) || double.IsNaN(sinceSeconds))
        {
            return;
        }

        // As in the record of a run: a window that ends in the controlled band begins there too.
        if (record.Fit(RampEstimator.RecordWindowSeconds, sinceSeconds) is { } line)
        {
            var perMinute = line.SlopePerSecond * 60;
            Lowest = Math.Min(Lowest ?? perMinute, perMinute);
            Highest = Math.Max(Highest ?? perMinute, perMinute);
        }
    }
}
