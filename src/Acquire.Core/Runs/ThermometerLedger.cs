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
    private const double StretchPauseSeconds = 0.5;

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

    /// <summary>Longest stretch without a pause of half a second, s.</summary>
    [JsonInclude]
    public double LongestSeconds { get; private set; }

    [JsonInclude]
    private double _stretchFrom;

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

        _stretchFrom = Readings == 1 || seconds - LastSeconds > StretchPauseSeconds ? since : _stretchFrom;
        LastSeconds = seconds;
        LongestSeconds = Math.Max(LongestSeconds, seconds - _stretchFrom);
        InSeries |= inSeries;
    }
}
