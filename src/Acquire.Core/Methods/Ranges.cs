namespace Acquire.Core.Methods;

/// <summary>A closed range of temperatures, °C.</summary>
/// <param name="From">Lower end, °C.</param>
/// <param name="To">Upper end, °C; above <paramref name="From"/>.</param>
public sealed record TemperatureRange(double From, double To)
{
    /// <summary>Whether the temperature lies in the range, ends included.</summary>
    public bool Contains(double celsius) => celsius >= From && celsius <= To;
}

/// <summary>A closed range of ramp rates, °C/min.</summary>
/// <param name="From">Lowest allowed rate, °C/min, above 0.</param>
/// <param name="To">Highest allowed rate, °C/min; above <paramref name="From"/>.</param>
public sealed record RateBand(double From, double To);

/// <summary>A closed range of a quantity whose unit is in the name of the property that holds it.</summary>
/// <param name="From">Lower end.</param>
/// <param name="To">Upper end, above <paramref name="From"/>.</param>
public sealed record ValueRange(double From, double To)
{
    /// <summary>Whether the value lies in the range, ends included.</summary>
    public bool Contains(double value) => value >= From && value <= To;
}
