using System.Text.Json.Serialization;

namespace Acquire.Core.Control;

/// <summary>Everything the controller remembers between two inputs. Only <see cref="RampController"/> changes it.</summary>
/// <remarks>Written and read by System.Text.Json with named floating-point literals allowed; a state read back goes on bit for bit.</remarks>
public sealed class RampState
{
    /// <summary>Commands remembered, one a second.</summary>
    internal const int Remembered = 16;

    /// <summary>The newest command, 0 to 1.</summary>
    [JsonInclude]
    public double Command { get; internal set; }

    /// <summary>Filtered rate, °C/min; some 16 s late.</summary>
    [JsonIgnore]
    public double RateCelsiusPerMinute => Temperature.RisePerSecond * 60;

    /// <summary>The rate aimed at where the thermometer reads now, °C/min; 0 before the first reading.</summary>
    [JsonInclude]
    public double TargetCelsiusPerMinute { get; internal set; }

    /// <summary>Rate at full power without loss, as learnt so far, °C/min.</summary>
    [JsonIgnore]
    public double LearntGainCelsiusPerMinute => Candidates[Chosen].Gain * 60;

    /// <summary>Its standard uncertainty, °C/min.</summary>
    [JsonIgnore]
    public double GainUncertaintyCelsiusPerMinute => Math.Sqrt(Candidates[Chosen].GainVariance) * 60;

    [JsonInclude]
    internal LagCandidate[] Candidates { get; set; } = [];

    [JsonInclude]
    internal int Chosen { get; set; }

    /// <summary>Newest first.</summary>
    [JsonInclude]
    internal double[] Commands { get; set; } = new double[Remembered];

    [JsonInclude]
    internal RateFilter Temperature { get; set; } = new();

    [JsonInclude]
    internal RateFilter Shape { get; set; } = new();

    /// <summary>The second under way, s; null before the first reading.</summary>
    [JsonInclude]
    internal long? Second { get; set; }

    /// <summary>Time of the newest input, s.</summary>
    [JsonInclude]
    internal double AtSeconds { get; set; } = double.NegativeInfinity;

    [JsonInclude]
    internal double Sum { get; set; }

    [JsonInclude]
    internal int Count { get; set; }

    /// <summary>Mean of the newest second that had a reading, carried on by the rate since, °C.</summary>
    [JsonInclude]
    internal double Celsius { get; set; }

    /// <summary>So many seconds more what is read says nothing about the heater: a cold portion went into the block.</summary>
    [JsonInclude]
    internal int Disturbed { get; set; }

    /// <summary>Seconds of control so far.</summary>
    [JsonInclude]
    internal int Steps { get; set; }
}
