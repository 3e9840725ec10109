using System.Globalization;
using System.Text;

namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>A small picture on a white card, so that it can be read on a light and on a dark page.</summary>
internal sealed class Svg
{
    public const string Ink = "#24292f", Faint = "#d0d7de", Quiet = "#57606a";

    /// <summary>Colours that stay apart for most people with a colour deficiency (Okabe and Ito, 2008).</summary>
    public static IReadOnlyList<string> Colours { get; } = ["#0072b2", "#d55e00", "#009e73", "#cc79a7", "#e69f00", "#56b4e9"];

    private readonly StringBuilder text = new();

    public Svg(int width, int height, string title)
    {
        Raw($"<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" width=\"{width}\" height=\"{height}\" font-family=\"sans-serif\" font-size=\"12\">");
        Raw($"<title>{Escaped(title)}</title>");
        Raw($"<rect width=\"{width}\" height=\"{height}\" rx=\"6\" fill=\"#ffffff\" stroke=\"{Faint}\"/>");
    }

    /// <summary>A filled box.</summary>
    public void Box(double x, double y, double width, double height, string colour, double opacity = 1) =>
        Raw($"<rect x=\"{x:0.#}\" y=\"{y:0.#}\" width=\"{width:0.##}\" height=\"{height:0.##}\" fill=\"{colour}\" fill-opacity=\"{opacity:0.##}\"/>");

    /// <summary>A line through points.</summary>
    public void Line(IEnumerable<(double X, double Y)> points, string colour, double width = 1, string? dashes = null)
    {
        var path = string.Join(' ', points.Select(point => string.Create(CultureInfo.InvariantCulture, $"{point.X:0.#},{point.Y:0.#}")));
        Raw($"<polyline fill=\"none\" stroke=\"{colour}\" stroke-width=\"{width}\" {(dashes is null ? "" : $"stroke-dasharray=\"{dashes}\" ")}points=\"{path}\"/>");
    }

    /// <summary>A dot at a point.</summary>
    public void Dot((double X, double Y) at, string colour) => Raw($"<circle cx=\"{at.X:0.#}\" cy=\"{at.Y:0.#}\" r=\"4\" fill=\"{colour}\"/>");

    /// <summary>Words; anchor is start, middle or end.</summary>
    public void Words(double x, double y, string words, string colour = Ink, string anchor = "start") =>
        Raw($"<text x=\"{x:0.#}\" y=\"{y:0.#}\" fill=\"{colour}\" text-anchor=\"{anchor}\">{Escaped(words)}</text>");

    /// <summary>The picture.</summary>
    public string Done() => text + "</svg>\n";

    private static string Escaped(string words) => words.Replace("&", "&amp;", StringComparison.Ordinal).Replace("<", "&lt;", StringComparison.Ordinal);

    private void Raw(FormattableString line) => text.Append(line.ToString(CultureInfo.InvariantCulture)).Append('\n');
}
