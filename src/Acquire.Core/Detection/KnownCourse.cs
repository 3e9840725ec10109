namespace Acquire.Core.Detection;

/// <summary>What the known course of the passes before adds to the covariance of a window: it may be larger or smaller, and come sooner or later.</summary>
/// <remarks>A change of rank two: the inverse of the sum follows from that of the rest (Woodbury's identity), and the rest can be kept from pass to pass.</remarks>
/// <param name="SizeSize">Inverse of I + KᵀC⁻¹K, K the course and its shift: element of the size.</param>
/// <param name="SizeShift">Likewise, size and shift.</param>
/// <param name="ShiftShift">Likewise, the shift.</param>
/// <param name="LogDeterminant">What it adds to the logarithm of the determinant.</param>
internal readonly record struct KnownCourse(double SizeSize, double SizeShift, double ShiftShift, double LogDeterminant)
{
    /// <summary>Takes it into account.</summary>
    /// <param name="points">The window.</param>
    /// <param name="weighted">The rest's inverse times the values; becomes the whole inverse times the values.</param>
    /// <param name="size">The rest's inverse times the course.</param>
    /// <param name="shift">The same of its shift.</param>
    /// <param name="square">Values times weighted values; becomes that of the whole.</param>
    public static KnownCourse Of(WindowPoints points, Span<double> weighted, ReadOnlySpan<double> size, ReadOnlySpan<double> shift, ref double square)
    {
        var known = points.Known.AsSpan(0, points.Count);
        var moved = points.Shift.AsSpan(0, points.Count);
        var (a, b, c) = (1 + SymmetricInverse.Dot(known, size), SymmetricInverse.Dot(known, shift), 1 + SymmetricInverse.Dot(moved, shift));
        var determinant = (a * c) - (b * b);
        var course = new KnownCourse(c / determinant, -b / determinant, a / determinant, Math.Log(determinant));
        var (alongSize, alongShift) = (SymmetricInverse.Dot(points.ValuesNow, size), SymmetricInverse.Dot(points.ValuesNow, shift));
        var (ofSize, ofShift) = ((course.SizeSize * alongSize) + (course.SizeShift * alongShift), (course.SizeShift * alongSize) + (course.ShiftShift * alongShift));
        square -= (alongSize * ofSize) + (alongShift * ofShift);
        for (var i = 0; i < weighted.Length; i++)
        {
            weighted[i] -= (ofSize * size[i]) + (ofShift * shift[i]);
        }

        return course;
    }

    /// <summary>How much of a flash it can explain, from the flash times the weighted course and its shift.</summary>
    public double Explains(double alongSize, double alongShift) =>
        (SizeSize * alongSize * alongSize) + (2 * SizeShift * alongSize * alongShift) + (ShiftShift * alongShift * alongShift);
}
