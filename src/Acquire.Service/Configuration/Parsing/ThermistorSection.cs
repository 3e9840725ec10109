using Acquire.Core.Thermometry;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads a thermistor: its coefficients, or three points of its resistance table.</summary>
internal static class ThermistorSection
{
    private const string Points = "points";

    private static readonly string[] Coefficients = ["a", "b", "c"];

    public static ThermistorSensor Read(ConfigObject section)
    {
        if (section.Gives(Points))
        {
            return ReadPoints(section);
        }

        if (!Coefficients.Any(section.Gives))
        {
            section.Refuse("a", "is missing, and so are b, c and points; allowed: either a, b and c, or points");
            return new(0, 0, 0);
        }

        var (a, b, c) = (Coefficient(section, "a"), Coefficient(section, "b"), Coefficient(section, "c"));
        return new(a, b, c);
    }

    private static double Coefficient(ConfigObject section, string key) => section.Number(key, -1, 1, "1/K", optional: false) ?? 0;

    private static ThermistorSensor ReadPoints(ConfigObject section)
    {
        foreach (var key in Coefficients.Where(section.Gives))
        {
            section.Refuse(key, "given beside points; allowed: either a, b and c, or points");
        }

        var before = section.MistakesSoFar;
        var points = new List<ThermistorPoint>();
        foreach (var point in section.Sections(Points, 3, 3))
        {
            var ohms = point.Number("ohms", 0.001, 1e8, "ohm", optional: false);
            var celsius = point.Number("celsius", -200, 1000, "°C", optional: false);
            point.RefuseUnknownKeys();
            points.Add(new(ohms ?? 0, celsius ?? 0));
        }

        if (section.MistakesSoFar > before || points.Count != 3)
        {
            return new(0, 0, 0);
        }

        var sensor = Thermistor.FromThreePoints(points[0], points[1], points[2], out var error);
        if (error is not null)
        {
            section.Refuse(error.Path, error.Message);
        }

        return sensor ?? new(0, 0, 0);
    }
}
