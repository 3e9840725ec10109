using System.Reflection;
using System.Text.Json.Serialization;
using Acquire.Core.Detection;
using Acquire.Core.Results;
using Acquire.Core.Thermometry;

namespace Acquire.Core.Runs;

/// <summary>Everything a run remembers between two inputs. Owned by one lane; only <see cref="RunSupervisor"/> changes it.</summary>
/// <remarks>
/// A step takes the state and gives back the same object, moved on; nobody else keeps a hold of it. That gives the meaning
/// of a pure function, same state and same inputs, same outputs, without an allocation for each reading.
/// <see cref="RunSnapshot"/> writes and reads it.
/// </remarks>
public sealed class RunState
{
    // By reflection, so that nothing that is added to the state later can be forgotten; used only when an observation is taken back.
    private static readonly PropertyInfo[] Remembered =
        [.. typeof(RunState).GetProperties(BindingFlags.Instance | BindingFlags.Public | BindingFlags.NonPublic).Where(property => property.CanWrite)];

    /// <summary>Where the run stands.</summary>
    [JsonInclude]
    public RunPhase Phase { get; internal set; } = RunPhase.Ready;

    /// <summary>Time of the newest input, s.</summary>
    [JsonInclude]
    public double AtSeconds { get; internal set; }

    /// <summary>The result, once the run is closed.</summary>
    [JsonInclude]
    public RunResult? Result { get; internal set; }

    /// <summary>Whether the heater of a driven tester is on, as far as it was stated.</summary>
    [JsonInclude]
    internal bool HeaterIsOn { get; set; }

    [JsonInclude]
    internal RampEstimator Ramp { get; set; } = new();

    [JsonInclude]
    internal TemperatureGate Gate { get; set; } = new();

    [JsonInclude]
    internal DetectorWatch Watch { get; set; } = new();

    [JsonInclude]
    internal RampLedger RampLedger { get; set; } = new();

    [JsonInclude]
    internal ApplicationLedger Series { get; set; } = new();

    [JsonInclude]
    internal GuidedLedger Guide { get; set; } = new();

    [JsonInclude]
    internal PortionLedger Portions { get; set; } = new();

    [JsonInclude]
    internal ScoutingLedger Scouting { get; set; } = new();

    [JsonInclude]
    internal WithdrawableObservation? Withdrawable { get; set; }

    [JsonInclude]
    internal TemperatureCourse Course { get; set; } = new();

    [JsonInclude]
    internal ThermometerLedger Faults { get; set; } = new();

    [JsonInclude]
    internal Stretch Pause { get; set; } = new();

    [JsonInclude]
    internal BenchLedger Told { get; set; } = new();

    [JsonInclude]
    internal List<Finding> Findings { get; set; } = [];

    [JsonInclude]
    internal List<string> Alarms { get; set; } = [];

    /// <summary>What each alarm said when it was raised last.</summary>
    [JsonInclude]
    internal Dictionary<string, string> AlarmTexts { get; set; } = [];

    [JsonInclude]
    internal double? TemperatureCelsius { get; set; }

    [JsonInclude]
    internal double HighestCelsius { get; set; } = double.NegativeInfinity;

    [JsonInclude]
    internal double LowestCelsius { get; set; } = double.PositiveInfinity;

    [JsonInclude]
    internal double HighestMeanCelsius { get; set; } = double.NegativeInfinity;

    [JsonInclude]
    internal bool CoolsByItself { get; set; }

    [JsonInclude]
    internal double TemperatureAt { get; set; } = double.NegativeInfinity;

    [JsonInclude]
    internal double? DetectorValue { get; set; }

    [JsonInclude]
    internal double DetectorAt { get; set; } = double.NegativeInfinity;

    /// <summary>Newest value of the second detector; null before the first, and once it has fallen silent.</summary>
    [JsonInclude]
    internal double? SecondDetectorValue { get; set; }

    [JsonInclude]
    internal double SecondDetectorAt { get; set; } = double.NegativeInfinity;

    [JsonInclude]
    internal ChannelRhythm SecondDetectorRhythm { get; set; } = new();

    [JsonInclude]
    internal bool FlameOver { get; set; }

    [JsonInclude]
    internal double FlameAt { get; set; } = double.NegativeInfinity;

    [JsonInclude]
    internal int NotForward { get; set; }

    [JsonInclude]
    internal double? CoolingSince { get; set; }

    /// <summary>Since when nothing was to be done at the cup, s: the determination is over, and the test flame has left.</summary>
    [JsonInclude]
    internal double LeftAloneSince { get; set; }

    [JsonInclude]
    internal ObservedPoint? Flash { get; set; }

    [JsonInclude]
    internal ObservedPoint? Fire { get; set; }

    [JsonInclude]
    internal double LongestBurnSeconds { get; set; }

    /// <summary>Since when the specimen burns, s; null while it does not.</summary>
    [JsonIgnore]
    internal double? BurningSince => Watch.Burn is { Ignited: true } burn ? burn.OnsetSeconds : Guide.BurningSince;

    /// <summary>How long the specimen has burned so far, s; null while it does not burn.</summary>
    [JsonIgnore]
    internal double? BurnedSeconds => Watch.Burn is { Ignited: true } burn ? burn.BurnedSeconds : AtSeconds - Guide.BurningSince;

    /// <summary>Scratch list for one step; empty between steps.</summary>
    [JsonIgnore]
    internal List<WatchEvent> Seen { get; } = [];

    /// <summary>Takes over everything that the other state remembers; the other must not be used any more.</summary>
    internal void Become(RunState other)
    {
        foreach (var property in Remembered)
        {
            property.SetValue(this, property.GetValue(other));
        }
    }
}

/// <summary>A point as read at the cup.</summary>
/// <param name="AtSeconds">Onset, s.</param>
/// <param name="Celsius">Specimen temperature as read at the onset, °C; null where the thermometer gave no reading near it.</param>
internal sealed record ObservedPoint(double AtSeconds, double? Celsius);
