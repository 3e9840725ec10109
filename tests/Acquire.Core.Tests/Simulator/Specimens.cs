using Acquire.Core.Methods;
using Acquire.Core.Readings;
using Acquire.Simulator;

namespace Acquire.Core.Tests.Simulator;

/// <summary>Invented specimens and the few measures that these tests take of a simulated record.</summary>
internal static class Specimens
{
    public static MethodDefinition Method(string id = "iso-2592-2017") =>
        MethodCatalog.TryFind(id, out var method) ? method : throw new ArgumentException(id, nameof(id));

    public static SimulatorOptions BaseOil(ulong seed = 1, string method = "iso-2592-2017") => new()
    {
        Method = Method(method),
        FlashCelsius = 226,
        FireCelsius = 252,
        Seed = seed,
    };

    /// <summary>The same with nothing in the detector's signal but what the cup and the flame do, in sigma.</summary>
    public static SimulatorOptions InSigma(this SimulatorOptions options) => options with
    {
        Scene = options.Scene with { Baseline = 0, UnitsPerSigma = 1, StepUnits = 1e-4, DriftSigma = 0, HumSigma = 0, WhiteShare = 1 },
    };

    /// <summary>Slope of temperature over time by ordinary least squares, °C/min.</summary>
    public static double RatePerMinute(ReadOnlySpan<ReadingRow> rows)
    {
        double meanTime = 0, meanCelsius = 0, square = 0, product = 0;
        foreach (var row in rows)
        {
            meanTime += row.AtSeconds / rows.Length;
            meanCelsius += row.TemperatureCelsius / rows.Length;
        }

        foreach (var row in rows)
        {
            square += (row.AtSeconds - meanTime) * (row.AtSeconds - meanTime);
            product += (row.AtSeconds - meanTime) * (row.TemperatureCelsius - meanCelsius);
        }

        return 60 * product / square;
    }

    /// <summary>Rates over windows of 30 s that end between two moments, every 5 s.</summary>
    public static List<double> RatesBetween(ReadingRow[] rows, double fromSeconds, double toSeconds)
    {
        var perWindow = Array.FindIndex(rows, row => row.AtSeconds >= 30);
        var rates = new List<double>();
        for (var end = perWindow; end <= rows.Length; end += perWindow / 6)
        {
            var at = rows[end - 1].AtSeconds;
            if (at >= fromSeconds && at <= toSeconds)
            {
                rates.Add(RatePerMinute(rows.AsSpan(end - perWindow, perWindow)));
            }
        }

        return rates;
    }

    /// <summary>Highest detector value between two moments.</summary>
    public static double PeakBetween(ReadingRow[] rows, double fromSeconds, double toSeconds) =>
        rows.Where(row => row.AtSeconds >= fromSeconds && row.AtSeconds <= toSeconds).Max(row => row.Detector);
}
