using System.Globalization;

namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>A rectangle in a picture with an axis to the right and one upwards.</summary>
internal readonly record struct SvgFrame(double Left, double Top, double Width, double Height, double FromX, double ToX, double FromY, double ToY)
{
    public double X(double value) => Left + (Width * (Math.Clamp(value, FromX, ToX) - FromX) / (ToX - FromX));

    public double Y(double value) => Top + Height - (Height * (Math.Clamp(value, FromY, ToY) - FromY) / (ToY - FromY));

    /// <summary>Draws grid, marks and the names of both axes.</summary>
    /// <param name="svg">The picture.</param>
    /// <param name="marksX">Marks to the right, with their words.</param>
    /// <param name="marksY">Marks upwards.</param>
    /// <param name="nameX">Name of the axis to the right.</param>
    /// <param name="nameY">Name of the axis upwards, written above the frame.</param>
    public void Draw(Svg svg, IEnumerable<(double At, string Words)> marksX, IEnumerable<(double At, string Words)> marksY, string nameX, string nameY)
    {
        foreach (var (at, words) in marksX)
        {
            svg.Line([(X(at), Top), (X(at), Top + Height)], Svg.Faint);
            svg.Words(X(at), Top + Height + 16, words, Svg.Quiet, "middle");
        }

        foreach (var (at, words) in marksY)
        {
            svg.Line([(Left, Y(at)), (Left + Width, Y(at))], Svg.Faint);
            svg.Words(Left - 6, Y(at) + 4, words, Svg.Quiet, "end");
        }

        svg.Line([(Left, Top), (Left, Top + Height), (Left + Width, Top + Height)], Svg.Ink);
        svg.Words(Left + (Width / 2), Top + Height + 34, nameX, Svg.Ink, "middle");
        svg.Words(Left - 40, Top - 10, nameY);
    }

    /// <summary>Whole numbers of an axis, some five of them.</summary>
    public static IEnumerable<(double At, string Words)> Marks(double from, double to)
    {
        var rough = (to - from) / 5;
        var ten = Math.Pow(10, Math.Floor(Math.Log10(rough)));
        var step = ten * (rough / ten > 5 ? 10 : rough / ten > 2 ? 5 : rough / ten > 1 ? 2 : 1);
        for (var at = Math.Ceiling(from / step); at * step <= to; at++)
        {
            // Adding zero turns the negative zero into the usual one.
            yield return (at * step, ((at * step) + 0.0).ToString("0.###", CultureInfo.InvariantCulture));
        }
    }
}
