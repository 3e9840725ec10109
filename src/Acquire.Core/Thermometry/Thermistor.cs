using System.Globalization;

namespace Acquire.Core.Thermometry;

/// <summary>A thermistor's resistance at a known temperature.</summary>
/// <param name="Ohms">Resistance, ohm; above 0.</param>
/// <param name="Celsius">Temperature, °C.</param>
public readonly record struct ThermistorPoint(double Ohms, double Celsius);

/// <summary>Resistance and temperature of an NTC thermistor by the equation of Steinhart and Hart (Deep-Sea Research 15, 1968): 1/T = A + B·ln R + C·(ln R)³.</summary>
public static class Thermistor
{
    private const double ZeroCelsiusKelvin = 273.15;

    // Catalogues of sensors hold 100 ohm to 2 Mohm at 25 °C: common practice, no source. Coefficients made for R/R25 or for
    // kΩ give 1 or some ten ohm, which is how they are told apart.
    private const double LeastOhmsAt25Celsius = 50;
    private const double MostOhmsAt25Celsius = 1e7;

    // The resistances over which the equation must fall with temperature, ohm: ln 1 = 0 is its flattest place for C above 0.
    private const double MostOhms = 1e8;

    /// <summary>Temperature for a resistance, °C; not a number where the equation has none.</summary>
    /// <param name="ohms">Resistance, ohm; above 0.</param>
    /// <param name="sensor">Its coefficients.</param>
    public static double Celsius(double ohms, ThermistorSensor sensor)
    {
        ArgumentNullException.ThrowIfNull(sensor);
        var ln = Math.Log(ohms);
        var inverse = sensor.A + (ln * (sensor.B + (sensor.C * ln * ln)));
        return ohms > 0 && inverse > 0 && double.IsFinite(inverse) ? (1 / inverse) - ZeroCelsiusKelvin : double.NaN;
    }

    /// <summary>Resistance at a temperature, ohm; not a number where the equation has none.</summary>
    /// <param name="celsius">Temperature, °C; above absolute zero.</param>
    /// <param name="sensor">Its coefficients.</param>
    /// <remarks>
    /// The cubic in ln R is solved in closed form. With hyperbolic functions rather than cube roots: for small C the two cube
    /// roots nearly cancel, while sinh(asinh(z)/3) keeps every digit.
    /// </remarks>
    public static double Ohms(double celsius, ThermistorSensor sensor)
    {
        ArgumentNullException.ThrowIfNull(sensor);
        var kelvin = celsius + ZeroCelsiusKelvin;
        if (!(kelvin > 0 && sensor.B > 0))
        {
            return double.NaN;
        }

        var excess = (1 / kelvin) - sensor.A;
        if (sensor.C == 0)
        {
            return Math.Exp(excess / sensor.B);
        }

        var size = Math.Abs(sensor.C);
        var scale = 2 * Math.Sqrt(sensor.B / (3 * size));
        var z = excess * Math.Sqrt(size) / (2 * Math.Pow(sensor.B / 3, 1.5));
        return Math.Exp(scale * (sensor.C > 0 ? Math.Sinh(Math.Asinh(z) / 3) : Math.Sin(Math.Asin(z) / 3)));
    }

    /// <summary>Whether coefficients can be those of an NTC thermistor in ohm and kelvin; null if so.</summary>
    /// <param name="sensor">The coefficients.</param>
    /// <param name="path">Key path of the sensor, for the error.</param>
    public static InputError? Check(ThermistorSensor sensor, string path = "sensor")
    {
        ArgumentNullException.ThrowIfNull(sensor);
        if (!(double.IsFinite(sensor.A) && double.IsFinite(sensor.B) && double.IsFinite(sensor.C)))
        {
            return new(path, "a, b and c are not all numbers");
        }

        var most = Math.Log(MostOhms);
        if (!(sensor.B > 0 && sensor.B + (3 * sensor.C * most * most) > 0))
        {
            return new(path, $"with b {Show(sensor.B)} and c {Show(sensor.C)} one temperature belongs to several resistances: b must be above 0, and b + 3·c·(ln R)² too for every R up to {Show(MostOhms)} ohm");
        }

        var ohms = Ohms(25, sensor);
        return ohms is >= LeastOhmsAt25Celsius and <= MostOhmsAt25Celsius
            ? null
            : new(path, $"the coefficients give {Show(ohms)} ohm at 25 °C, which is not within {Show(LeastOhmsAt25Celsius)} to {Show(MostOhmsAt25Celsius)}: they must be for ln R with R in ohm, not for R/R25 or kΩ, and for 1/T with T in K");
    }

    /// <summary>The coefficients through three points of a resistance table.</summary>
    /// <param name="first">One point.</param>
    /// <param name="second">Another.</param>
    /// <param name="third">A third; for a small error between them, spread over the range that is used.</param>
    /// <param name="error">Why there are none; null on success.</param>
    /// <returns>The sensor; null where the points are not those of an NTC thermistor.</returns>
    public static ThermistorSensor? FromThreePoints(ThermistorPoint first, ThermistorPoint second, ThermistorPoint third, out InputError? error)
    {
        error = CheckPoint("points[0]", first) ?? CheckPoint("points[1]", second) ?? CheckPoint("points[2]", third)
            ?? CheckPair("points[1]", first, second) ?? CheckPair("points[2]", first, third) ?? CheckPair("points[2]", second, third);
        if (error is not null)
        {
            return null;
        }

        double l1 = Math.Log(first.Ohms), l2 = Math.Log(second.Ohms), l3 = Math.Log(third.Ohms);
        double y1 = Inverse(first), y2 = Inverse(second), y3 = Inverse(third);
        var g2 = (y2 - y1) / (l2 - l1);
        var g3 = (y3 - y1) / (l3 - l1);
        var c = (g3 - g2) / (l3 - l2) / (l1 + l2 + l3);
        var b = g2 - (c * ((l1 * l1) + (l1 * l2) + (l2 * l2)));
        var sensor = new ThermistorSensor(y1 - (l1 * (b + (c * l1 * l1))), b, c);
        error = Check(sensor, "points");
        return error is null ? sensor : null;
    }

    private static double Inverse(ThermistorPoint point) => 1 / (point.Celsius + ZeroCelsiusKelvin);

    private static InputError? CheckPoint(string path, ThermistorPoint point) =>
        !(point.Ohms is > 0 and <= MostOhms) ? new(path + ".ohms", $"{Show(point.Ohms)} is not above 0 and up to {Show(MostOhms)}")
        : !(point.Celsius is >= -200 and <= 1000) ? new(path + ".celsius", $"{Show(point.Celsius)} is not within -200 to 1000")
        : null;

    private static InputError? CheckPair(string path, ThermistorPoint a, ThermistorPoint b) =>
        (a.Celsius - b.Celsius) * (a.Ohms - b.Ohms) < 0 && Math.Abs(a.Celsius - b.Celsius) >= 1
            ? null
            : new(path, $"{Show(b.Ohms)} ohm at {Show(b.Celsius)} °C does not go with {Show(a.Ohms)} ohm at {Show(a.Celsius)} °C: the resistance must be lower where it is warmer, and the temperatures at least 1 °C apart");

    private static string Show(double value) => value.ToString("G6", CultureInfo.InvariantCulture);
}
