using System.Runtime.CompilerServices;

namespace Acquire.Core.Thermometry;

/// <summary>Emf from temperature and back for one letter type: ITS-90 reference functions (NIST Monograph 175, IEC 60584-1), reference junction at 0 °C.</summary>
/// <remarks>
/// The inverse is that of the reference function itself, not the published approximation, which is off by up to 0.06 °C.
/// Printed tables are rounded, so an emf up to half their last digit, <see cref="PrintedHalfDigitMillivolts"/>, beyond an end of the range is
/// accepted too; its temperature then lies beyond the end, on the straight line with the slope there.
/// Type B below 250 °C gives nearly nothing, and the same emf at two temperatures: it is not inverted there.
/// </remarks>
public sealed class Thermocouple
{
    /// <summary>Half the last digit of a printed table, mV: by so much an emf may lie beyond an end of the range.</summary>
    public const double PrintedHalfDigitMillivolts = 0.0005;

    private static readonly Thermocouple[] All = LoadAll();

    private readonly ForwardPiece[] _pieces;
    private readonly InverseSegment[] _segments;
    private readonly InverseRow[] _published;
    private readonly double[][] _publishedFalling;
    private readonly double _lowestSeededMillivolts;

    private Thermocouple(ThermocoupleType type, ReferenceTable table)
    {
        Type = type;
        _pieces = [.. table.Forward.Select(row => new ForwardPiece(row))];
        _published = [.. table.Inverse];
        _publishedFalling = [.. table.Inverse.Select(row => Polynomial.Falling(row.D))];
        LowestCelsius = _pieces[0].LowestCelsius;
        HighestCelsius = _pieces[^1].HighestCelsius;
        var seededCelsius = _published[0].LowestCelsius;
        LowestInvertibleCelsius = type == ThermocoupleType.B ? seededCelsius : LowestCelsius;
        LowestEmfMillivolts = EmfMillivolts(LowestInvertibleCelsius);
        HighestEmfMillivolts = EmfMillivolts(HighestCelsius);
        _lowestSeededMillivolts = EmfMillivolts(seededCelsius);
        _segments = InverseSegment.Divide(_pieces, _published);
    }

    /// <summary>Letter.</summary>
    public ThermocoupleType Type { get; }

    /// <summary>Low end of the reference function, °C.</summary>
    public double LowestCelsius { get; }

    /// <summary>High end of the reference function, °C.</summary>
    public double HighestCelsius { get; }

    /// <summary>Lowest temperature found from an emf, °C: 250 for type B, the low end of the function for all others.</summary>
    public double LowestInvertibleCelsius { get; }

    /// <summary>Emf at <see cref="LowestInvertibleCelsius"/>, mV.</summary>
    public double LowestEmfMillivolts { get; }

    /// <summary>Emf at <see cref="HighestCelsius"/>, mV.</summary>
    public double HighestEmfMillivolts { get; }

    /// <summary>The published inverse polynomials, coldest first; those of types R and S overlap.</summary>
    internal IReadOnlyList<InverseRow> PublishedInverses => _published;

    /// <summary>Temperatures at which one polynomial of the function ends and the next begins, °C.</summary>
    internal IEnumerable<double> Breaks => _pieces.SkipLast(1).Select(piece => piece.HighestCelsius);

    /// <summary>The thermocouple of a letter; always the same instance.</summary>
    public static Thermocouple Of(ThermocoupleType type) =>
        (uint)type < (uint)All.Length ? All[(int)type] : throw new ArgumentOutOfRangeException(nameof(type), type, "There is no such letter type.");

    /// <summary>Emf with the reference junction at 0 °C, mV.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The temperature is not a number, or outside <see cref="LowestCelsius"/> to <see cref="HighestCelsius"/>.</exception>
    public double EmfMillivolts(double celsius) => PieceAt(celsius).Emf(celsius);

    /// <summary>Change of emf with temperature, µV/°C. At the end of a piece of the function it is that of the colder piece.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The temperature is not a number, or outside <see cref="LowestCelsius"/> to <see cref="HighestCelsius"/>.</exception>
    public double SensitivityMicrovoltsPerCelsius(double celsius)
    {
        PieceAt(celsius).Expand(celsius, out _, out var slope, out _);
        return slope * 1000;
    }

    /// <summary>Temperature from emf with the reference junction at 0 °C.</summary>
    /// <param name="emfMillivolts">Emf, mV.</param>
    /// <param name="celsius">Temperature, °C; not a number where there is none.</param>
    /// <returns>False where the emf is not a number, or beyond <see cref="LowestEmfMillivolts"/> to <see cref="HighestEmfMillivolts"/> by more than <see cref="PrintedHalfDigitMillivolts"/>.</returns>
    public bool TryCelsius(double emfMillivolts, out double celsius)
    {
        if (emfMillivolts >= _lowestSeededMillivolts && emfMillivolts <= HighestEmfMillivolts)
        {
            celsius = WithinRange(_segments[SegmentOf(emfMillivolts)].Celsius(emfMillivolts));
            return true;
        }

        return TryUnseeded(emfMillivolts, out celsius);
    }

    /// <summary>Temperature of the measuring junction from the emf as measured and the temperature of the reference junction. What is added is emf, never temperature.</summary>
    /// <param name="emfMillivolts">Emf as measured, mV.</param>
    /// <param name="junctionCelsius">Temperature of the reference junction, °C.</param>
    /// <param name="celsius">Temperature, °C; not a number where there is none.</param>
    /// <returns>False where the junction is outside <see cref="LowestCelsius"/> to <see cref="HighestCelsius"/>, or the sum of emfs has no temperature.</returns>
    public bool TryCelsius(double emfMillivolts, double junctionCelsius, out double celsius)
    {
        if (junctionCelsius >= LowestCelsius && junctionCelsius <= HighestCelsius)
        {
            return TryCelsius(emfMillivolts + EmfMillivolts(junctionCelsius), out celsius);
        }

        celsius = double.NaN;
        return false;
    }

    /// <summary>Temperatures, °C, from emfs with the reference junction at 0 °C, mV; not a number where there is none. The two spans may be the same.</summary>
    /// <exception cref="ArgumentException">The spans differ in length.</exception>
    public void ToCelsius(ReadOnlySpan<double> emfMillivolts, Span<double> celsius)
    {
        Same(emfMillivolts.Length, celsius.Length);
        for (var i = 0; i < emfMillivolts.Length; i++)
        {
            _ = TryCelsius(emfMillivolts[i], out celsius[i]);
        }
    }

    /// <summary>Temperatures, °C, from emfs as measured, mV, and temperatures of the reference junction, °C; not a number where there is none. The result may go into either span.</summary>
    /// <exception cref="ArgumentException">The spans differ in length.</exception>
    public void ToCelsius(ReadOnlySpan<double> emfMillivolts, ReadOnlySpan<double> junctionCelsius, Span<double> celsius)
    {
        Same(emfMillivolts.Length, junctionCelsius.Length);
        Same(emfMillivolts.Length, celsius.Length);
        for (var i = 0; i < emfMillivolts.Length; i++)
        {
            _ = TryCelsius(emfMillivolts[i], junctionCelsius[i], out celsius[i]);
        }
    }

    /// <summary>Emfs with the reference junction at 0 °C, mV, from temperatures, °C; not a number outside the range of the function. The two spans may be the same.</summary>
    /// <exception cref="ArgumentException">The spans differ in length.</exception>
    public void ToEmfMillivolts(ReadOnlySpan<double> celsius, Span<double> emfMillivolts)
    {
        Same(celsius.Length, emfMillivolts.Length);
        for (var i = 0; i < celsius.Length; i++)
        {
            var t = celsius[i];
            emfMillivolts[i] = t >= LowestCelsius && t <= HighestCelsius ? EmfMillivolts(t) : double.NaN;
        }
    }

    /// <summary>Temperature by the published inverse polynomial alone, °C, off by up to 0.06 °C (<see cref="PublishedInverses"/>). Where two overlap, the hotter, which is the better one.</summary>
    internal bool TryPublishedInverse(double emfMillivolts, out double celsius)
    {
        for (var i = _published.Length - 1; i >= 0; i--)
        {
            if (emfMillivolts >= _published[i].LowestMillivolts && emfMillivolts <= _published[i].HighestMillivolts)
            {
                celsius = Polynomial.Value(_publishedFalling[i], emfMillivolts);
                return true;
            }
        }

        celsius = double.NaN;
        return false;
    }

    private static Thermocouple[] LoadAll()
    {
        var tables = ReferenceTables.Load();
        return [.. Enum.GetValues<ThermocoupleType>().Select(type => new Thermocouple(type, tables.Types[type]))];
    }

    private static void Same(int expected, int actual, [CallerArgumentExpression(nameof(actual))] string name = "")
    {
        if (expected != actual)
        {
            throw new ArgumentException($"The spans differ in length: {expected} and {actual}.", name);
        }
    }

    private ForwardPiece PieceAt(double celsius)
    {
        if (!(celsius >= LowestCelsius && celsius <= HighestCelsius))
        {
            throw new ArgumentOutOfRangeException(nameof(celsius), celsius, $"Type {Type} is defined from {LowestCelsius} to {HighestCelsius} °C.");
        }

        var i = 0;
        while (celsius > _pieces[i].HighestCelsius)
        {
            i++;
        }

        return _pieces[i];
    }

    private int SegmentOf(double emfMillivolts)
    {
        var i = 0;
        while (emfMillivolts > _segments[i].HighestMillivolts)
        {
            i++;
        }

        return i;
    }

    // An emf within the range has a temperature within the range, to the last bit: it can be turned into an emf again.
    private double WithinRange(double celsius) => celsius < LowestInvertibleCelsius ? LowestInvertibleCelsius : celsius > HighestCelsius ? HighestCelsius : celsius;

    private bool TryUnseeded(double emfMillivolts, out double celsius)
    {
        if (emfMillivolts > HighestEmfMillivolts)
        {
            return TryBeyond(HighestCelsius, HighestEmfMillivolts, emfMillivolts, out celsius);
        }

        if (emfMillivolts >= LowestEmfMillivolts)
        {
            celsius = ColdStretch.Celsius(_pieces[0], emfMillivolts, LowestInvertibleCelsius, _published[0].LowestCelsius);
            return true;
        }

        return TryBeyond(LowestInvertibleCelsius, LowestEmfMillivolts, emfMillivolts, out celsius);
    }

    private bool TryBeyond(double endCelsius, double endMillivolts, double emfMillivolts, out double celsius)
    {
        var beyond = emfMillivolts - endMillivolts;
        var accepted = Math.Abs(beyond) <= PrintedHalfDigitMillivolts;
        celsius = accepted ? endCelsius + (beyond * 1000 / SensitivityMicrovoltsPerCelsius(endCelsius)) : double.NaN;
        return accepted;
    }
}
