namespace Acquire.Core.Results;

/// <summary>Which of the two points of a run is meant.</summary>
public enum PointKind
{
    /// <summary>The flash point.</summary>
    Flash,

    /// <summary>The fire point.</summary>
    Fire,
}

/// <summary>The figures of a run and of its method that belong to a point.</summary>
internal static class PointKinds
{
    public static string Name(this PointKind kind) => kind == PointKind.Flash ? "flash point" : "fire point";

    public static DeterminedPoint? Of(this PointKind kind, RunResult result) => kind == PointKind.Flash ? result.Flash : result.Fire;

    public static Methods.Precision? Of(this PointKind kind, Methods.MethodDefinition method) => kind == PointKind.Flash ? method.FlashPrecision : method.FirePrecision;
}
