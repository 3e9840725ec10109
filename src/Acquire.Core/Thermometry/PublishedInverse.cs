namespace Acquire.Core.Thermometry;

/// <summary>The published inverse polynomials of one letter type, off by up to 0.06 °C: what the exact inverse is measured against, in error and in time.</summary>
internal sealed class PublishedInverse(IEnumerable<InverseRow> rows)
{
    private readonly InverseRow[] _rows = [.. rows];
    private readonly double[][] _falling = [.. rows.Select(row => Polynomial.Falling(row.D))];

    /// <summary>The subranges with the stated range of their error, coldest first; those of types R and S overlap.</summary>
    public IReadOnlyList<InverseRow> Rows => _rows;

    /// <summary>Temperature, °C, by the polynomial of one subrange.</summary>
    public double Celsius(int row, double emfMillivolts) => Polynomial.Value(_falling[row], emfMillivolts);

    /// <summary>Temperature, °C; where two subranges overlap, by the hotter, which is the better one.</summary>
    public bool TryCelsius(double emfMillivolts, out double celsius)
    {
        for (var i = _rows.Length - 1; i >= 0; i--)
        {
            if (emfMillivolts >= _rows[i].LowestMillivolts)
            {
                celsius = Polynomial.Value(_falling[i], emfMillivolts);
                return emfMillivolts <= _rows[i].HighestMillivolts;
            }
        }

        celsius = double.NaN;
        return false;
    }
}
