using System.Globalization;
using Acquire.Core.Runs;

namespace Acquire.Core.Results;

/// <summary>What results that were compared say together.</summary>
public enum Agreement
{
    /// <summary>They agree; their mean may be reported.</summary>
    Agree,

    /// <summary>They are too few and too far apart: determine further ones.</summary>
    FurtherResults,

    /// <summary>One of them lies too far from the others and is rejected; the mean of the others may be reported.</summary>
    OneRejected,

    /// <summary>More than one lies too far away: the series is worth nothing.</summary>
    NewSeries,
}

/// <summary>Outcome of a comparison.</summary>
/// <param name="Agreement">What they say.</param>
/// <param name="DifferenceCelsius">The difference that was compared, °C.</param>
/// <param name="LimitCelsius">What it may be at most, °C.</param>
/// <param name="MeanCelsius">Mean to report, not rounded, °C; null where there is none.</param>
/// <param name="Text">What was compared and what to do.</param>
public sealed record Comparison(Agreement Agreement, double DifferenceCelsius, double LimitCelsius, double? MeanCelsius, string Text);

/// <summary>Compares results of one laboratory on the same specimen with the method's repeatability (ISO 4259-2; procedure and formulas: value from memory).</summary>
public static class Duplicates
{
    /// <summary>Results needed once the first two are too far apart: those two and three more; value from memory.</summary>
    public const int FewestAfterDisagreement = 5;

    /// <summary>Most results taken.</summary>
    public const int Most = 20;

    /// <summary>The reported figure of a run; false, and why, where the run has none: what is not reported is not compared.</summary>
    /// <param name="path">Which run, for the error.</param>
    /// <param name="result">The closed run.</param>
    /// <param name="plan">Its plan.</param>
    /// <param name="kind">Which point.</param>
    /// <param name="reportedCelsius">Reported figure, °C; NaN on failure.</param>
    /// <param name="error">Why there is none; null on success.</param>
    public static bool TryTake(string path, RunResult result, RunPlan plan, PointKind kind, out double reportedCelsius, out InputError? error)
    {
        var why = CannotReport.Why(result, plan, kind);
        reportedCelsius = why is null ? kind.Of(result)!.ReportedCelsius!.Value : double.NaN;
        error = why is null ? null : new(path, why + " It cannot be compared.");
        return why is null;
    }

    /// <summary>Largest difference of the most distant of k results from the mean of the others: r·√(k/(2(k−1))), °C; for two results r itself.</summary>
    /// <param name="results">k; at least 2.</param>
    /// <param name="repeatabilityCelsius">r, °C.</param>
    public static double LimitCelsius(int results, double repeatabilityCelsius)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(results, 2);
        return repeatabilityCelsius * Math.Sqrt(results / (2.0 * (results - 1)));
    }

    /// <summary>Compares all results of a series.</summary>
    /// <param name="reportedCelsius">Reported figures of valid or accepted runs, °C; 2 to <see cref="Most"/>.</param>
    /// <param name="repeatabilityCelsius">The method's r, °C; above 0.</param>
    /// <exception cref="ArgumentException">Too few or too many results, one that is no number, or no r.</exception>
    public static Comparison Compare(IReadOnlyList<double> reportedCelsius, double repeatabilityCelsius)
    {
        ArgumentNullException.ThrowIfNull(reportedCelsius);
        if (reportedCelsius.Count is < 2 or > Most || !reportedCelsius.All(double.IsFinite) || !(repeatabilityCelsius > 0))
        {
            throw new ArgumentException("2 to 20 finite results and a repeatability above 0 are compared", nameof(reportedCelsius));
        }

        var (farthest, distance) = Farthest(reportedCelsius);
        var limit = LimitCelsius(reportedCelsius.Count, repeatabilityCelsius);
        var compared = Compared(reportedCelsius, farthest, distance, limit);
        if (Within(distance, limit))
        {
            return new(Agreement.Agree, distance, limit, reportedCelsius.Average(), $"{compared}, within the limit. Report their mean.");
        }

        return reportedCelsius.Count < FewestAfterDisagreement
            ? new(Agreement.FurtherResults, distance, limit, null, $"{compared}: too far apart. Make further determinations on fresh test portions, until there are at least {FewestAfterDisagreement} results, and compare all of them.")
            : Rejecting(reportedCelsius, farthest, repeatabilityCelsius, distance, limit, compared);
    }

    private static Comparison Rejecting(IReadOnlyList<double> results, int farthest, double repeatability, double distance, double limit, string compared)
    {
        double[] others = [.. results.Where((_, index) => index != farthest)];
        var rejected = Show(results[farthest]);
        return Within(Farthest(others).Distance, LimitCelsius(others.Length, repeatability))
            ? new(Agreement.OneRejected, distance, limit, others.Average(), $"{compared}: {rejected} is rejected. The others agree: report their mean, and state that a result was rejected.")
            : new(Agreement.NewSeries, distance, limit, null, $"{compared}: {rejected} is rejected, and the others do not agree either. Report nothing: check the tester, the thermometer and the procedure, and begin a new series.");
    }

    // The result whose distance from the mean of the others is largest; of two results the distance is the same.
    private static (int Index, double Distance) Farthest(IReadOnlyList<double> results)
    {
        var sum = results.Sum();
        var distances = results.Select((result, index) => (Index: index, Distance: Math.Abs(result - ((sum - result) / (results.Count - 1)))));
        return distances.MaxBy(one => one.Distance);
    }

    private static string Compared(IReadOnlyList<double> results, int farthest, double distance, double limit) => results.Count == 2
        ? $"{Show(results[0])} and {Show(results[1])} differ by {Show(distance)} (limit {Show(limit)})"
        : $"Of {results.Count} results, {Show(results[farthest])} lies farthest from the mean of the others, by {Show(distance)} (limit {Show(limit)})";

    // A difference of exactly the limit agrees, also where binary fractions put it a hair above.
    internal static bool Within(double difference, double limit) => difference <= limit + 1e-9;

    internal static string Show(double celsius) => celsius.ToString("0.0#", CultureInfo.InvariantCulture) + " °C";
}
