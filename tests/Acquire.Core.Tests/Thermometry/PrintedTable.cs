using System.Globalization;
using Acquire.Core.Thermometry;

namespace Acquire.Core.Tests.Thermometry;

/// <summary>One printed value: emf, mV, at a whole number of °C.</summary>
public sealed record PrintedValue(ThermocoupleType Type, double Celsius, double Millivolts);

/// <summary>Values printed by NIST, computed and rounded by others than us. The first line of the file names the source.</summary>
internal static class PrintedTable
{
    /// <summary>All of them.</summary>
    public static IReadOnlyList<PrintedValue> All { get; } = Read();

    /// <summary>The printed emf at a temperature, mV; fails where none is printed.</summary>
    public static double Millivolts(ThermocoupleType type, double celsius) => All.Single(value => value.Type == type && value.Celsius == celsius).Millivolts;

    private static List<PrintedValue> Read()
    {
        using var reader = new StreamReader(typeof(PrintedTable).Assembly.GetManifestResourceStream("its90-printed.csv")!);
        var lines = reader.ReadToEnd().Split('\n', StringSplitOptions.RemoveEmptyEntries);
        return [.. lines.Skip(2).Select(line => line.Split(',')).Select(cells => new PrintedValue(Enum.Parse<ThermocoupleType>(cells[0]), Number(cells[1]), Number(cells[2])))];
    }

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
