using System.Globalization;

namespace Acquire.Core.Tests.Thermometry;

/// <summary>A row of the table of IEC 60751: 30 printed resistances of a 100 ohm thermometer, and tolerances in °C and ohm.</summary>
internal sealed record PlatinumTableRow(double Celsius, double FormulaOhms, double? PrintedOhms, double OhmsPerCelsius, double[] ToleranceCelsius, double[] ToleranceOhms)
{
    /// <summary>The table.</summary>
    public static IReadOnlyList<PlatinumTableRow> All { get; } = Read();

    private static List<PlatinumTableRow> Read()
    {
        using var stream = typeof(PlatinumTableRow).Assembly.GetManifestResourceStream("pt100_iec60751.csv")!;
        using var reader = new StreamReader(stream);
        var rows = new List<PlatinumTableRow>();
        _ = reader.ReadLine();
        while (reader.ReadLine() is { } line)
        {
            var cells = line.Split(',');
            rows.Add(new(Number(cells[0]), Number(cells[1]), cells[2].Length == 0 ? null : Number(cells[2]), Number(cells[3]), [.. cells[4..8].Select(Number)], [.. cells[8..12].Select(Number)]));
        }

        return rows;
    }

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
