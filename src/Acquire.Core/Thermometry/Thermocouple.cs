namespace Acquire.Core.Thermometry;

/// <summary>Emf from temperature and back for one letter type: ITS-90 reference functions (NIST Monograph 175, IEC 60584-1), reference junction at 0 °C.</summary>
/// <remarks>
/// The inverse is that of the reference function itself, not the published approximation, which is off by up to 0.06 °C.
/// Printed tables are rounded, so an emf up to half their last digit, <see cref="PrintedHalfDigitMillivolts"/>, beyond an end of the range is
/// accepted too; its temperature then lies beyond the end, on the straight line with the slope there.
/// Type B below 250 °C gives nearly nothing, and the same emf at two temperatures: it is not inverted there.
/// </remarks>
public sealed partial class Thermocouple
{
    /// <summary>Half the last digit of a printed table, mV: by so much an emf may lie beyond an end of the range.</summary>
    public const double PrintedHalfDigitMillivolts = 0.0005;

    private static readonly Lazy<ReferenceTables> Tables = new(ReferenceTables.Load);
    private static readonly Lazy<Thermocouple>[] All = [.. Enum.GetValues<ThermocoupleType>().Select(type => new Lazy<Thermocouple>(() => new(type, Tables.Value.Types[type])))];

    private readonly ReferenceFunction _function;
    private readonly InverseTable _inverse;

    private Thermocouple(ThermocoupleType type, ReferenceTable table)
    {
        Type = type;
        Published = new(table.Inverse);
        _function = new(table.Forward);
        LowestCelsius = _function.Pieces[0].LowestCelsius;
        HighestCelsius = _function.Pieces[^1].HighestCelsius;
        LowestInvertibleCelsius = type == ThermocoupleType.B ? table.Inverse[0].LowestCelsius : LowestCelsius;
        LowestEmfMillivolts = EmfMillivolts(LowestInvertibleCelsius);
        HighestEmfMillivolts = EmfMillivolts(HighestCelsius);
        _inverse = new(_function, LowestInvertibleCelsius);
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

    /// <summary>The published inverse polynomials, with the stated range of their error.</summary>
    internal PublishedInverse Published { get; }

    /// <summary>Temperatures at which one piece of the function ends and the next begins, °C.</summary>
    internal IEnumerable<double> Breaks => _function.Pieces.SkipLast(1).Select(piece => piece.HighestCelsius);

    /// <summary>Share of the emf range over which the inverse is prepared, 0 to 1.</summary>
    internal double PreparedShare => _inverse.Filled;

    /// <summary>The thermocouple of a letter; always the same instance.</summary>
    public static Thermocouple Of(ThermocoupleType type) =>
        (uint)type < (uint)All.Length ? All[(int)type].Value : throw new ArgumentOutOfRangeException(nameof(type), type, "There is no such letter type.");

    /// <summary>Emf with the reference junction at 0 °C, mV.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The temperature is not a number, or outside <see cref="LowestCelsius"/> to <see cref="HighestCelsius"/>.</exception>
    public double EmfMillivolts(double celsius) => PieceAt(celsius).Emf(celsius);

    /// <summary>Change of emf with temperature, µV/°C. Where two pieces of the function meet it is that of the colder one.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The temperature is not a number, or outside <see cref="LowestCelsius"/> to <see cref="HighestCelsius"/>.</exception>
    public double SensitivityMicrovoltsPerCelsius(double celsius)
    {
        PieceAt(celsius).Expand(celsius, out _, out var slope, out _);
        return slope * 1000;
    }

    /// <summary>Temperature from emf with the reference junction at 0 °C.</summary>
    /// <param name="emfMillivolts">Emf, mV.</param>
    /// <param name="celsius">Temperature, °C; not a number where there is none. Within the range for an emf within the range.</param>
    /// <returns>False where the emf is not a number, or beyond <see cref="LowestEmfMillivolts"/> to <see cref="HighestEmfMillivolts"/> by more than <see cref="PrintedHalfDigitMillivolts"/>.</returns>
    public bool TryCelsius(double emfMillivolts, out double celsius)
    {
        if (emfMillivolts >= LowestEmfMillivolts && emfMillivolts <= HighestEmfMillivolts)
        {
            celsius = _inverse.Celsius(emfMillivolts);
            if (double.IsNaN(celsius))
            {
                celsius = _function.Invert(emfMillivolts, LowestInvertibleCelsius);
            }

            return true;
        }

        return TryBeyond(emfMillivolts, out celsius);
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
            return TryCelsius(emfMillivolts + _function.At(junctionCelsius).Emf(junctionCelsius), out celsius);
        }

        celsius = double.NaN;
        return false;
    }

    /// <summary>Temperature by the published inverse polynomial alone, °C, off by up to 0.06 °C; false outside its range.</summary>
    internal bool TryPublishedInverse(double emfMillivolts, out double celsius) => Published.TryCelsius(emfMillivolts, out celsius);

    private ForwardPiece PieceAt(double celsius)
    {
        if (!(celsius >= LowestCelsius && celsius <= HighestCelsius))
        {
            throw new ArgumentOutOfRangeException(nameof(celsius), celsius, $"Type {Type} is defined from {LowestCelsius} to {HighestCelsius} °C.");
        }

        return _function.At(celsius);
    }

    private bool TryBeyond(double emfMillivolts, out double celsius)
    {
        var (end, emf) = emfMillivolts > HighestEmfMillivolts ? (HighestCelsius, HighestEmfMillivolts) : (LowestInvertibleCelsius, LowestEmfMillivolts);
        var beyond = emfMillivolts - emf;
        var accepted = Math.Abs(beyond) <= PrintedHalfDigitMillivolts;
        celsius = accepted ? end + (beyond * 1000 / SensitivityMicrovoltsPerCelsius(end)) : double.NaN;
        return accepted;
    }
}
