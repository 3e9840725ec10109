using System.Globalization;
using Acquire.Benchmarks.Campaigns.Flash;

namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>How figures are written in the report.</summary>
internal static class Figures
{
    // Below this a share is written as a power of ten.
    private const double LeastShare = 1e-6, Nothing = 1e-99;

    /// <summary>A count, its share, and the bound of that.</summary>
    public static string Count(int count, int of) => of == 0 ? "none" : string.Create(CultureInfo.InvariantCulture, $"{count} ({Percent((double)count / of)}; below {Percent(Binomial.Upper(count, of))})");

    /// <summary>A share in per cent, to two figures.</summary>
    public static string Percent(double share)
    {
        if (double.IsNaN(share) || share == 0)
        {
            return double.IsNaN(share) ? "none" : "0 %";
        }

        if (share < LeastShare)
        {
            var power = (int)Math.Floor(Math.Log10(100 * Math.Max(share, Nothing)));
            return "10" + string.Concat(power.ToString(CultureInfo.InvariantCulture).Select(Raised)) + " %";
        }

        var decimals = Math.Clamp(1 - (int)Math.Floor(Math.Log10(100 * share)), 0, 6);
        return Math.Round(100 * share, decimals).ToString("0.######", CultureInfo.InvariantCulture) + " %";
    }

    private static char Raised(char sign) => sign == '-' ? '⁻' : "⁰¹²³⁴⁵⁶⁷⁸⁹"[sign - '0'];

    /// <summary>Right answers in per cent: so many nines as there are.</summary>
    public static string Right(int right, int of) => of == 0 ? "none" : (100.0 * right / of).ToString("0.###", CultureInfo.InvariantCulture) + " %";

    /// <summary>Half, 95 % and all of a growing list lie within these.</summary>
    public static string Spread(List<double> growing) => growing.Count == 0 ? "none" : string.Join(" / ", new[] { 0.5, 0.95, 1 }.Select(share => Number(SceneTally.Quantile(growing, share))));

    /// <summary>Three figures; infinity in words.</summary>
    public static string Number(double value) => double.IsPositiveInfinity(value) ? "not found" : value.ToString(Math.Abs(value) >= 100 ? "0" : Math.Abs(value) >= 10 ? "0.0" : "0.00", CultureInfo.InvariantCulture);

    /// <summary>A line of a table.</summary>
    public static string Row(params IEnumerable<string> cells) => "| " + string.Join(" | ", cells) + " |";

    /// <summary>The two lines that begin a table.</summary>
    public static string Head(params IReadOnlyList<string> names) => Row(names) + "\n" + Row(names.Select(_ => "---"));
}
