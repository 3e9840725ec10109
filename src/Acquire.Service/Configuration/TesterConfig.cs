using System.Text.Json;
using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Thermometry;
using Acquire.Service.Live;

namespace Acquire.Service.Configuration;

/// <summary>One tester: who it is, where its readings come from, when it is silent.</summary>
public sealed record TesterConfig
{
    /// <summary>Unique id: lower-case letters, digits, hyphens; 1 to 40 characters.</summary>
    public required string Id { get; init; }

    /// <summary>Name for people; 1 to 80 characters.</summary>
    public required string Name { get; init; }

    /// <summary>Rows that may wait for the lane; 16 to 1,000,000.</summary>
    public required int QueueCapacity { get; init; }

    /// <summary>Silence after which the tester counts as stale, s; 0.5 to 300.</summary>
    public required double StaleAfterSeconds { get; init; }

    /// <summary>Who judges what happens at its cup.</summary>
    public RunMode Mode { get; init; }

    /// <summary>How long before it is due an application of a guided run is asked for, s; 0 to 30.</summary>
    public double PromptLeadSeconds { get; init; } = RunPlan.UsualPromptLeadSeconds;

    /// <summary>How the program commands heater and test flame; null where it does not: only a tester of the mode driven has it.</summary>
    public DriveConfig? Drive { get; init; }

    /// <summary>The run to start by itself on each new record that begins with a cold cup; null where a person starts runs.</summary>
    public StartRunRequest? AutoStart { get; init; }

    /// <summary>Altitude of the laboratory above mean sea level, m, by which a station pressure is checked; null where unknown.</summary>
    public double? AltitudeMetres { get; init; }

    /// <summary>What is known beside the readings, for the uncertainty of a result.</summary>
    public LaboratoryFigures Figures { get; init; } = LaboratoryFigures.None;

    /// <summary>That its wire is kept for each run; null where it is not.</summary>
    public CaptureConfig? Capture { get; init; }

    /// <summary>Ids of the shared sources whose readings it is given; no channel has two origins.</summary>
    public IReadOnlyList<string> Ambient { get; init; } = [];

    /// <summary>Where the readings come from.</summary>
    public required SourceConfig Source { get; init; }

    /// <summary>What lies between the thermometer's signal and the temperature; the unit is that of the temperature channel.</summary>
    public ThermometerChain Thermometer { get; init; } = ThermometerChain.Plain;

    /// <summary>Which channels the source can deliver, before anything was made of the thermometer's signal: a temperature where it comes in °C, else the signal.</summary>
    public RowChannels Channels => Source.Channels.Aggregate(RowChannels.None, (all, channel) => all | channel switch
    {
        ReadingChannel.Temperature => Thermometer.Unit == ThermometerUnit.Celsius ? RowChannels.Temperature : RowChannels.Signal,
        ReadingChannel.Junction => RowChannels.Junction,
        ReadingChannel.Detector => RowChannels.Detector,
        ReadingChannel.SecondDetector => RowChannels.SecondDetector,
        ReadingChannel.Flame => RowChannels.Flame,
        ReadingChannel.Command => RowChannels.Command,
        ReadingChannel.Heater => RowChannels.Heater,
        ReadingChannel.Stirrer => RowChannels.Stirrer,
        ReadingChannel.Stirring => RowChannels.Stirring,
        ReadingChannel.Lit => RowChannels.Lit,
        ReadingChannel.Air => RowChannels.Air,
        ReadingChannel.Ambient => RowChannels.Ambient,
        _ => RowChannels.None,
    });

    /// <summary>The tester as it is written; nothing where it was not read from a file. Never printed: it may hold passwords.</summary>
    internal JsonElement Written { get; init; }

    /// <summary>Whether another version of the file says the same of it. The altitude is that of the laboratory: a tester goes on when it changes.</summary>
    internal bool IsSame(TesterConfig other) => JsonElement.DeepEquals(Written, other.Written);
}
