using System.Text.Json.Serialization;

namespace Acquire.Core.Control;

/// <summary>Two equal lags in a row: the rate of the thermometer without most of its noise, and anything else to be compared with it.</summary>
/// <remarks>Belongs to <see cref="RampState"/>; one step a second. The rate comes twice the lag, 16 s, late; what it is compared with passes the same lags.</remarks>
internal sealed class RateFilter
{
    /// <summary>Each of the two lags, s.</summary>
    public const double LagSeconds = 8;

    /// <summary>What one second closes of the distance.</summary>
    public static readonly double Share = 1 - Math.Exp(-1 / LagSeconds);

    [JsonInclude]
    private double _first = double.NaN;

    /// <summary>The filtered value.</summary>
    [JsonInclude]
    public double Value { get; private set; } = double.NaN;

    /// <summary>Its rise in the last second.</summary>
    [JsonInclude]
    public double RisePerSecond { get; private set; }

    /// <summary>Takes the value of the next second.</summary>
    public void Add(double value)
    {
        if (double.IsNaN(_first))
        {
            _first = Value = value;
        }

        var before = Value;
        _first += Share * (value - _first);
        Value += Share * (_first - Value);
        RisePerSecond = Value - before;
    }
}
