using System.Numerics;

namespace Acquire.Core.Thermometry;

/// <summary>Resistance and temperature of an industrial platinum thermometer (IEC 60751), -200 to 850 °C.</summary>
/// <remarks>R = R0·(1 + A·t + B·t²) from 0 °C up, and R = R0·(1 + A·t + B·t² + C·(t − 100)·t³) below.</remarks>
public static class PlatinumThermometer
{
    /// <summary>Lowest temperature of the reference function, °C.</summary>
    public const double ColdestCelsius = -200;

    /// <summary>Highest temperature of the reference function, °C.</summary>
    public const double HottestCelsius = 850;

    // IEC 60751, coefficients of the reference function.
    private const double A = 3.9083e-3;
    private const double B = -5.775e-7;
    private const double C = -4.183e-12;

    // Tables print hundredths of an ohm for 100 ohm: half a step beyond the ends is still the end.
    private const double PrintedRounding = 5e-5;

    // From the closed form, which is off by 2.4 °C at -200 °C, three steps reach 1e-12 °C; one more costs nothing that matters.
    private const int NewtonSteps = 4;

    private static readonly double LowestRatio = Ratio(ColdestCelsius) - PrintedRounding;
    private static readonly double HighestRatio = Ratio(HottestCelsius) + PrintedRounding;

    /// <summary>Resistance at a temperature, ohm; not a number outside -200 to 850 °C.</summary>
    /// <param name="celsius">Temperature, °C.</param>
    /// <param name="r0Ohms">Resistance at 0 °C, ohm.</param>
    public static double Ohms(double celsius, double r0Ohms) => IsCovered(celsius) ? r0Ohms * Ratio(celsius) : double.NaN;

    /// <summary>Slope of the resistance at a temperature, ohm per °C; not a number outside -200 to 850 °C.</summary>
    /// <param name="celsius">Temperature, °C.</param>
    /// <param name="r0Ohms">Resistance at 0 °C, ohm.</param>
    public static double OhmsPerCelsius(double celsius, double r0Ohms) => IsCovered(celsius) ? r0Ohms * Slope(celsius) : double.NaN;

    /// <summary>Temperature for a resistance.</summary>
    /// <param name="ohms">Resistance of the sensor without its leads, ohm. Up to 0.005 % of R0 beyond the ends it counts as the end: so much is lost in printed tables.</param>
    /// <param name="r0Ohms">Resistance at 0 °C, ohm; above 0.</param>
    /// <param name="celsius">The temperature, -200 to 850 °C; not a number where there is none.</param>
    /// <returns>False outside the range of the reference function, and for anything that is not a number.</returns>
    public static bool TryCelsius(double ohms, double r0Ohms, out double celsius)
    {
        var ratio = ohms / r0Ohms;
        if (!(ratio >= LowestRatio && ratio <= HighestRatio))
        {
            celsius = double.NaN;
            return false;
        }

        var t = (-A + Math.Sqrt((A * A) - (4 * B * (1 - ratio)))) / (2 * B);
        for (var step = 0; t < 0 && step < NewtonSteps; step++)
        {
            t -= (Ratio(t) - ratio) / Slope(t);
        }

        celsius = Math.Clamp(t, ColdestCelsius, HottestCelsius);
        return true;
    }

    /// <summary>Temperatures for resistances, °C; not a number where <see cref="TryCelsius"/> has none.</summary>
    /// <param name="ohms">Resistances, ohm.</param>
    /// <param name="r0Ohms">Resistance at 0 °C, ohm; above 0.</param>
    /// <param name="celsius">Where the temperatures go; at least as long, and either the same memory or no part of it.</param>
    public static void ToCelsius(ReadOnlySpan<double> ohms, double r0Ohms, Span<double> celsius)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(celsius.Length, ohms.Length, nameof(celsius));
        var done = 0;
        for (; done + Vector<double>.Count <= ohms.Length; done += Vector<double>.Count)
        {
            ToCelsius(new Vector<double>(ohms[done..]) / new Vector<double>(r0Ohms)).CopyTo(celsius[done..]);
        }

        for (; done < ohms.Length; done++)
        {
            _ = TryCelsius(ohms[done], r0Ohms, out celsius[done]);
        }
    }

    /// <summary>Resistance of the sensor alone, ohm.</summary>
    /// <param name="ohms">Resistance as measured, ohm.</param>
    /// <param name="sensor">Two wires: both leads are taken off. Three: by how much the lead in the sensor's loop exceeds its twin. Four: nothing, they carry no current that matters.</param>
    public static double WithoutLeads(double ohms, PlatinumSensor sensor)
    {
        ArgumentNullException.ThrowIfNull(sensor);
        return sensor.Wires is 2 or 3 ? ohms - (sensor.LeadOhms ?? 0) : ohms;
    }

    /// <summary>Largest deviation from the reference function that a class allows, °C, above 0. Holds within <see cref="ValidRange"/>.</summary>
    /// <param name="tolerance">The class.</param>
    /// <param name="celsius">Temperature, °C.</param>
    public static double ToleranceCelsius(PlatinumTolerance tolerance, double celsius) => tolerance switch
    {
        // IEC 60751:2008, table 3. Class C: value from memory.
        PlatinumTolerance.AA => 0.1 + (0.0017 * Math.Abs(celsius)),
        PlatinumTolerance.A => 0.15 + (0.002 * Math.Abs(celsius)),
        PlatinumTolerance.B => 0.3 + (0.005 * Math.Abs(celsius)),
        PlatinumTolerance.C => 0.6 + (0.01 * Math.Abs(celsius)),
        _ => throw new ArgumentOutOfRangeException(nameof(tolerance), tolerance, null),
    };

    /// <summary>Temperatures between which a class holds, °C.</summary>
    /// <param name="tolerance">The class.</param>
    /// <param name="element">How the platinum is made up.</param>
    public static (double FromCelsius, double ToCelsius) ValidRange(PlatinumTolerance tolerance, PlatinumElement element) => (tolerance, element) switch
    {
        // IEC 60751:2008, table 3: values from memory.
        (PlatinumTolerance.AA, PlatinumElement.WireWound) => (-50, 250),
        (PlatinumTolerance.AA, PlatinumElement.Film) => (0, 150),
        (PlatinumTolerance.A, PlatinumElement.WireWound) => (-100, 450),
        (PlatinumTolerance.A, PlatinumElement.Film) => (-30, 300),
        (PlatinumTolerance.B, PlatinumElement.WireWound) => (-196, 600),
        (PlatinumTolerance.B, PlatinumElement.Film) => (-50, 500),
        (PlatinumTolerance.C, PlatinumElement.WireWound) => (-196, 600),
        (PlatinumTolerance.C, PlatinumElement.Film) => (-50, 600),
        _ => throw new ArgumentOutOfRangeException(nameof(tolerance), (tolerance, element), null),
    };

    private static bool IsCovered(double celsius) => celsius is >= ColdestCelsius and <= HottestCelsius;

    private static double Ratio(double t)
    {
        var ratio = 1 + (t * (A + (B * t)));
        return t < 0 ? ratio + (C * (t - 100) * t * t * t) : ratio;
    }

    private static double Slope(double t)
    {
        var slope = A + (2 * B * t);
        return t < 0 ? slope + (C * t * t * ((4 * t) - 300)) : slope;
    }

    // The same arithmetic as TryCelsius, for several at a time; lanes above 0 °C go through Newton's steps and are dropped.
    private static Vector<double> ToCelsius(Vector<double> ratio)
    {
        var root = Vector.SquareRoot(new Vector<double>(A * A) - ((Vector<double>.One - ratio) * (4 * B)));
        var warm = (root - new Vector<double>(A)) / new Vector<double>(2 * B);
        var cold = warm;
        for (var step = 0; step < NewtonSteps && Vector.LessThanAny(warm, Vector<double>.Zero); step++)
        {
            var cubic = cold * cold * cold * C;
            var value = Vector<double>.One + (cold * (new Vector<double>(A) + (cold * B))) + (cubic * (cold - new Vector<double>(100)));
            var slope = new Vector<double>(A) + (cold * (2 * B)) + (cold * cold * C * ((cold * 4) - new Vector<double>(300)));
            cold -= (value - ratio) / slope;
        }

        var t = Vector.ConditionalSelect(Vector.LessThan(warm, Vector<double>.Zero), cold, warm);
        t = Vector.Min(Vector.Max(t, new Vector<double>(ColdestCelsius)), new Vector<double>(HottestCelsius));
        var covered = Vector.GreaterThanOrEqual(ratio, new Vector<double>(LowestRatio)) & Vector.LessThanOrEqual(ratio, new Vector<double>(HighestRatio));
        return Vector.ConditionalSelect(covered, t, new Vector<double>(double.NaN));
    }
}
