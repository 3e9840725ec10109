using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Acquire.Core.Detection;

/// <summary>A row of values that are computed as they are read: what is looked through once need not be written first.</summary>
internal interface IRow
{
    /// <summary>How many.</summary>
    int Length { get; }

    /// <summary>The value at a place.</summary>
    double One(int at);

    /// <summary>The same four from there on, bit by bit.</summary>
    Vector256<double> Four(nuint at);
}

/// <summary>Values as they stand.</summary>
internal readonly ref struct PlainRow(ReadOnlySpan<double> values) : IRow
{
    private readonly ReadOnlySpan<double> _values = values;

    public int Length => _values.Length;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public double One(int at) => _values[at];

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public Vector256<double> Four(nuint at) => Vector256.LoadUnsafe(ref MemoryMarshal.GetReference(_values), at);
}

/// <summary>Sizes of the differences of two rows of equal length.</summary>
internal readonly ref struct StepRow(ReadOnlySpan<double> later, ReadOnlySpan<double> earlier) : IRow
{
    private readonly ReadOnlySpan<double> _later = later;
    private readonly ReadOnlySpan<double> _earlier = earlier[..later.Length];

    public int Length => _later.Length;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public double One(int at) => Math.Abs(_later[at] - _earlier[at]);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public Vector256<double> Four(nuint at) => Vector256.Abs(
        Vector256.LoadUnsafe(ref MemoryMarshal.GetReference(_later), at) - Vector256.LoadUnsafe(ref MemoryMarshal.GetReference(_earlier), at));
}

/// <summary>What values leave over a straight line.</summary>
/// <param name="times">Times of the values, s; as many.</param>
/// <param name="values">The values.</param>
/// <param name="level">Level of the line at the time that follows.</param>
/// <param name="seconds">That time, s.</param>
/// <param name="slope">Slope, unit per s.</param>
internal readonly ref struct ResidueRow(ReadOnlySpan<double> times, ReadOnlySpan<double> values, double level, double seconds, double slope) : IRow
{
    private readonly ReadOnlySpan<double> _times = times[..values.Length];
    private readonly ReadOnlySpan<double> _values = values;

    public int Length => _values.Length;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public double One(int at) => _values[at] - (level + (slope * (_times[at] - seconds)));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public Vector256<double> Four(nuint at) => Vector256.LoadUnsafe(ref MemoryMarshal.GetReference(_values), at)
        - (Vector256.Create(level) + (Vector256.Create(slope) * (Vector256.LoadUnsafe(ref MemoryMarshal.GetReference(_times), at) - Vector256.Create(seconds))));
}

/// <summary>How far a row lies from a level.</summary>
internal readonly ref struct DistanceRow<TRow>(TRow row, double level) : IRow
    where TRow : struct, IRow, allows ref struct
{
    private readonly TRow _row = row;

    public int Length => _row.Length;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public double One(int at) => Math.Abs(_row.One(at) - level);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public Vector256<double> Four(nuint at) => Vector256.Abs(_row.Four(at) - Vector256.Create(level));
}
