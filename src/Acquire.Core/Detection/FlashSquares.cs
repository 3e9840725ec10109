using System.Numerics;
using System.Runtime.InteropServices;

namespace Acquire.Core.Detection;

/// <summary>How much the flashes of a group stand out: the square of the projection over the norm less how rare it is, several at once.</summary>
/// <param name="norms">Their squares in units of noise and nuisance, without the known course; 0 behind the last.</param>
/// <param name="values">Each times the weighted values.</param>
/// <param name="size">Each times the weighted known course; empty where there is none.</param>
/// <param name="shift">Each times its weighted shift.</param>
/// <param name="known">The known course.</param>
/// <param name="highest">No flash can be higher.</param>
internal readonly ref struct FlashSquares(
    ReadOnlySpan<double> norms, ReadOnlySpan<double> values, ReadOnlySpan<double> size, ReadOnlySpan<double> shift, KnownCourse known, double highest)
{
    private readonly ReadOnlySpan<double> _norms = norms;
    private readonly ReadOnlySpan<double> _values = values;
    private readonly ReadOnlySpan<double> _size = size;
    private readonly ReadOnlySpan<double> _shift = shift;
    private readonly KnownCourse _known = known;

    /// <summary>Norm of one of them, the known course included.</summary>
    public double Norm(int at) => _norms[at] - (_size.IsEmpty ? 0 : _known.Explains(_size[at], _shift[at]));

    /// <summary>The one that stands out most.</summary>
    /// <param name="count">How many there are.</param>
    /// <param name="shape">Their shape.</param>
    /// <param name="lateFrom">The first of them that is late.</param>
    /// <param name="above">Square that it has to exceed, 0 or more.</param>
    /// <returns>Its place, and its square; no more than was to be exceeded where none does, or none points upwards.</returns>
    public (int At, double Square) Most(int count, int shape, int lateFrom, double above)
    {
        var (most, places, any) = (new Vector<double>(above), Vector<long>.Zero, false);
        var (limit, place, next) = (new Vector<double>(highest), Vector<long>.Indices, new Vector<long>(Vector<long>.Count));
        var (rarity, rarityWhenLate, late) = (new Vector<double>(FlashShapes.Rarity(shape, late: false)), new Vector<double>(FlashShapes.Rarity(shape, late: true)), new Vector<long>(lateFrom));
        for (var i = 0; i < count; i += Vector<double>.Count)
        {
            var projection = At(_values, i);
            var norm = Norms(i);
            var rare = Vector.ConditionalSelect(Vector.LessThan(place, late), rarity, rarityWhenLate);
            var better = Vector.GreaterThan(projection, Vector<double>.Zero) & Vector.GreaterThan(norm, Vector<double>.Zero)
                & Vector.LessThanOrEqual(projection, norm * limit) & Vector.GreaterThan(projection * projection, (most + rare) * norm);
            if (Vector.LessThanAny(better, Vector<long>.Zero))
            {
                any = true;

                // Divided only where it stands out more than those before it, which is seldom.
                most = Vector.ConditionalSelect(better, (projection * projection / norm) - rare, most);
                places = Vector.ConditionalSelect(better, place, places);
            }

            place += next;
        }

        var (at, found) = (0, above);
        if (!any)
        {
            return (at, found);
        }

        for (var i = 0; i < Vector<double>.Count; i++)
        {
            if (most[i] > found || (most[i] == found && found > above && places[i] < at))
            {
                (at, found) = ((int)places[i], most[i]);
            }
        }

        return (at, found);
    }

    private Vector<double> Norms(int from)
    {
        var norms = At(_norms, from);
        if (_size.IsEmpty)
        {
            return norms;
        }

        // Behind the last one the norm is 0, and what is taken off leaves nothing above it.
        var (size, shift) = (At(_size, from), At(_shift, from));
        return norms - (size * ((size * _known.SizeSize) + (shift * (2 * _known.SizeShift)))) - (shift * shift * _known.ShiftShift);
    }

    private static Vector<double> At(ReadOnlySpan<double> values, int from) => Vector.LoadUnsafe(ref MemoryMarshal.GetReference(values), (nuint)from);
}
