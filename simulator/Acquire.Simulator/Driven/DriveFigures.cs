using System.Globalization;
using Acquire.Core.Control;
using Acquire.Core.Methods;
using Acquire.Core.Runs;

namespace Acquire.Simulator;

/// <summary>What came of driving a simulated tester through a run.</summary>
public sealed record DriveFigures
{
    /// <summary>The rate that was aimed at in the controlled band, °C/min.</summary>
    public required double TargetCelsiusPerMinute { get; init; }

    /// <summary>The controlled band, °C/min.</summary>
    public required RateBand Band { get; init; }

    /// <summary>Lowest rate over 30 s, as it goes on record, while the controlled band held and the heater was on, °C/min; null where none was measured.</summary>
    public required double? LowestCelsiusPerMinute { get; init; }

    /// <summary>Highest of them, °C/min.</summary>
    public required double? HighestCelsiusPerMinute { get; init; }

    /// <summary>Whether the heater could be turned on.</summary>
    public required bool TurnedOn { get; init; }

    /// <summary>Each time the heater was cut, and why.</summary>
    public required IReadOnlyList<HeaterCut> Cuts { get; init; }

    /// <summary>Everything for which the heater is off at the end, the run's own end among it.</summary>
    public required IReadOnlyList<HeaterTrip> Trips { get; init; }

    /// <summary>Applications of the test flame on record.</summary>
    public required int Applications { get; init; }

    /// <summary>The hottest that the specimen really was, °C.</summary>
    public required double HighestSpecimenCelsius { get; init; }

    /// <summary>Largest distance of those rates from the target, °C/min; null where none was measured.</summary>
    public double? WorstErrorCelsiusPerMinute =>
        LowestCelsiusPerMinute is { } low && HighestCelsiusPerMinute is { } high ? Math.Max(TargetCelsiusPerMinute - low, high - TargetCelsiusPerMinute) : null;

    /// <summary>For a person, line by line.</summary>
    public void WriteText(TextWriter writer)
    {
        ArgumentNullException.ThrowIfNull(writer);
        writer.WriteLine(WorstErrorCelsiusPerMinute is { } worst
            ? string.Create(CultureInfo.InvariantCulture, $"  controlled   {LowestCelsiusPerMinute:0.00} to {HighestCelsiusPerMinute:0.00} °C/min, at most {worst:0.00} from {TargetCelsiusPerMinute:0.##}; band {Band.From} to {Band.To}")
            : "  controlled   the controlled band was not reached, or not measured");
        writer.WriteLine(string.Create(CultureInfo.InvariantCulture, $"  hottest      specimen really {HighestSpecimenCelsius:0.0} °C"));
        if (!TurnedOn)
        {
            writer.WriteLine("  heater       could not be turned on");
        }

        foreach (var cut in Cuts)
        {
            writer.WriteLine(string.Create(CultureInfo.InvariantCulture, $"  heater off   {cut.Code} at {cut.AtSeconds:0.0} s: {cut.Text}"));
        }
    }
}
