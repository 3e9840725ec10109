namespace Acquire.Core.Methods.Advising;

/// <summary>What the figure is for.</summary>
public enum TestPurpose
{
    /// <summary>To be held against the limit of a specification.</summary>
    Specification,

    /// <summary>To classify for transport, storage or labelling.</summary>
    HazardClass,

    /// <summary>To be compared with earlier figures of the same oil in service.</summary>
    InServiceTrend,

    /// <summary>To teach how it is done.</summary>
    Teaching,
}
