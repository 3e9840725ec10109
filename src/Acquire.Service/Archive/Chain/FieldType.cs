namespace Acquire.Service.Archive.Chain;

/// <summary>How a column's value is written into a record's bytes.</summary>
internal enum FieldType
{
    /// <summary>A whole number, 8 bytes.</summary>
    Integer,

    /// <summary>A number, 8 bytes of IEEE 754.</summary>
    Real,

    /// <summary>UTF-8.</summary>
    Text,

    /// <summary>Bytes as they are.</summary>
    Bytes,
}
