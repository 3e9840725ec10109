using System.Text.Json.Serialization;
using Acquire.Core.Thermometry;

namespace Acquire.Core.Runs;

/// <summary>What was noticed of each thermometer fault in a run. Part of its snapshot.</summary>
internal sealed class ThermometerLedger
{
    [JsonInclude]
    private FaultSeen[] _seen = [.. ThermometerFaults.All.Select(_ => new FaultSeen())];

    /// <summary>What was noticed of a fault.</summary>
    public FaultSeen Of(ReadingFault fault) => _seen[fault.Index];
}

/// <summary>What was noticed of one fault.</summary>
internal sealed class FaultSeen
{
    /// <summary>Readings with it.</summary>
    [JsonInclude]
    public int Readings { get; private set; }

    /// <summary>First of them, s.</summary>
    [JsonInclude]
    public double FirstSeconds { get; private set; }

    /// <summary>Last of them, s.</summary>
    [JsonInclude]
    public double LastSeconds { get; private set; }

    /// <summary>Last sound temperature before the first of them, °C.</summary>
    [JsonInclude]
    public double? FirstCelsius { get; private set; }

    /// <summary>Whether it occurred where applications were due or near.</summary>
    [JsonInclude]
    public bool InSeries { get; private set; }

    /// <summary>Counts one more reading.</summary>
    public void Add(double since, double seconds, double? celsius, bool inSeries)
    {
        if (Readings++ == 0)
        {
            (FirstSeconds, FirstCelsius) = (since, celsius);
        }

        LastSeconds = seconds;
        InSeries |= inSeries;
    }
}
