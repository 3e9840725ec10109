using System.Globalization;
using Acquire.Core.Control;
using Acquire.Core.Methods;
using Acquire.Core.Runs;

namespace Acquire.Simulator;

/// <summary>What came of driving a simulated tester through a run.</summary>
public sealed record DriveFigures
{
    /// <summary>The rate that was aimed at in the controlled band, °C/min; 0 in an equilibrium procedure.</summary>
    public required double TargetCelsiusPerMinute { get; init; }

    /// <summary>The controlled band, °C/min; null in an equilibrium procedure.</summary>
    public required RateBand? Band { get; init; }

    /// <summary>Rates while the controlled band held and the heater was on; null where none was measured.</summary>
    public required RateSpan? Held { get; init; }

    /// <summary>The same from the first application on.</summary>
    public required RateSpan? Applied { get; init; }

    /// <summary>Whether the heater could be turned on.</summary>
    public required bool TurnedOn { get; init; }

    /// <summary>Each time the heater was cut, and why.</summary>
    public required IReadOnlyList<HeaterCut> Cuts { get; init; }

    /// <summary>Everything for which the heater is off at the end, the run's own end among it.</summary>
    public required IReadOnlyList<HeaterTrip> Trips { get; init; }

    /// <summary>How the block was kept; null along a ramp.</summary>
    public required HeldTemperatures? Kept { get; init; }

    /// <summary>Applications of the test flame on record.</summary>
    public required int Applications { get; init; }

    /// <summary>The hottest that the specimen really was, °C.</summary>
    public required double HighestSpecimenCelsius { get; init; }

    /// <summary>For a person, line by line.</summary>
    public void WriteText(TextWriter writer)
    {
        ArgumentNullException.ThrowIfNull(writer);
        writer.WriteLine(Kept is { } kept
            ? string.Create(CultureInfo.InvariantCulture, $"  block        {kept.Count} temperatures, steady {kept.ShortestSeconds:0} to {kept.LongestSeconds:0} s after they were set; at most {kept.WorstCelsius:0.00} °C off while a portion was in the cup")
            : Held is { } held
            ? string.Create(CultureInfo.InvariantCulture, $"  controlled   {held.Lowest:0.00} to {held.Highest:0.00} °C/min, at most {held.WorstFrom(TargetCelsiusPerMinute):0.00} from {TargetCelsiusPerMinute:0.##}; band {Band!.From} to {Band.To}")
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
