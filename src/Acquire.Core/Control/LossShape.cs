namespace Acquire.Core.Control;

/// <summary>How the loss to the room grows with temperature, apart from its size.</summary>
/// <remarks>
/// Natural convection grows with the power 1.25 of the excess, radiation with the fourth power of the absolute temperature.
/// Together, for a metal cup up to 300 °C above the room, they are x (1 + x / 150) to within a tenth: a fit of our own, no source.
/// </remarks>
internal static class LossShape
{
    private const double DoublesAtCelsius = 150;

    /// <summary>The shape at an excess over the room, °C.</summary>
    public static double At(double excess) => excess * (1 + (Math.Max(0, excess) / DoublesAtCelsius));

    /// <summary>Its growth per °C.</summary>
    public static double GrowthAt(double excess) => 1 + (2 * Math.Max(0, excess) / DoublesAtCelsius);
}
