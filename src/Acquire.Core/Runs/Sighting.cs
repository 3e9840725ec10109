namespace Acquire.Core.Runs;

/// <summary>What a person saw at the cup.</summary>
public enum Sighting
{
    /// <summary>The test flame was applied and nothing happened.</summary>
    Nothing,

    /// <summary>A bluish halo round the test flame: no flash.</summary>
    Halo,

    /// <summary>A flash over the surface.</summary>
    Flash,

    /// <summary>The specimen burns.</summary>
    Burning,

    /// <summary>The specimen has ceased to burn.</summary>
    WentOut,
}
