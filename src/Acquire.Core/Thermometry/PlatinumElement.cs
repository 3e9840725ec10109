namespace Acquire.Core.Thermometry;

/// <summary>How the platinum of a thermometer is made up. IEC 60751 gives the two different ranges for the same tolerance class.</summary>
public enum PlatinumElement
{
    /// <summary>A wound wire.</summary>
    WireWound,

    /// <summary>A film on a carrier.</summary>
    Film,
}
