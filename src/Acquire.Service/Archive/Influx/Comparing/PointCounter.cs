using System.Globalization;
using System.Text.Json;
using Acquire.Service.Archive.Influx.Lines;
using Acquire.Service.Archive.Influx.Sending;
using Acquire.Service.Configuration;

namespace Acquire.Service.Archive.Influx.Comparing;

/// <summary>Asks a server how many points it has of each run: in Flux, or in InfluxQL where it does not understand that.</summary>
/// <remarks>Counted is the one field that every point of its measurement has.</remarks>
internal static class PointCounter
{
    private static readonly (LineKind Kind, string Measurement, string Field)[] Counted =
    [
        (LineKind.Reading, PointWriter.Reading, "run_seconds"),
        (LineKind.Event, PointWriter.Event, "sequence"),
        (LineKind.Result, PointWriter.Result, "correction"),
    ];

    /// <summary>The counts, or in words why there are none.</summary>
    /// <param name="endpoint">The server.</param>
    /// <param name="influx">Its bucket.</param>
    /// <param name="run">Only this run; null for all.</param>
    /// <param name="cancellationToken">Ends the asking.</param>
    public static async Task<(PointCounts? Counts, string? Trouble)> CountAsync(InfluxEndpoint endpoint, InfluxConfig influx, string? run, CancellationToken cancellationToken)
    {
        var (counts, flux) = await FluxAsync(endpoint, influx, run, cancellationToken).ConfigureAwait(false);
        if (counts is not null)
        {
            return (counts, null);
        }

        (counts, var influxQl) = await InfluxQlAsync(endpoint, run, cancellationToken).ConfigureAwait(false);
        return counts is not null ? (counts, null) : (null, $"by Flux: {flux}; by InfluxQL: {influxQl}");
    }

    private static async Task<(PointCounts? Counts, string? Trouble)> FluxAsync(InfluxEndpoint endpoint, InfluxConfig influx, string? run, CancellationToken cancellationToken)
    {
        var counts = new PointCounts();
        foreach (var (kind, measurement, field) in Counted)
        {
            var only = run is null ? "" : $" and r.run == {Flux(run)}";
            var query = $"from(bucket: {Flux(influx.Bucket)}) |> range(start: 1900-01-01T00:00:00Z, stop: 2200-01-01T00:00:00Z) |> filter(fn: (r) => r._measurement == \"{measurement}\" and r._field == \"{field}\"{only}) |> group(columns: [\"run\"]) |> count()";
            var (tables, trouble) = await endpoint.QueryAsync(query, cancellationToken).ConfigureAwait(false);
            if (tables is null)
            {
                return (null, trouble!.Words);
            }

            foreach (var record in tables.SelectMany(table => table.Records))
            {
                counts.Add(Convert.ToString(record.GetValueByKey("run"), CultureInfo.InvariantCulture) ?? "", kind, Convert.ToInt64(record.GetValueByKey("_value"), CultureInfo.InvariantCulture));
            }
        }

        return (counts, null);
    }

    private static async Task<(PointCounts? Counts, string? Trouble)> InfluxQlAsync(InfluxEndpoint endpoint, string? run, CancellationToken cancellationToken)
    {
        var counts = new PointCounts();
        foreach (var (kind, measurement, field) in Counted)
        {
            var only = run is null ? "" : $" WHERE \"run\" = '{run.Replace("\\", "\\\\", StringComparison.Ordinal).Replace("'", "\\'", StringComparison.Ordinal)}'";
            var (json, trouble) = await endpoint.AskAsync($"SELECT count(\"{field}\") FROM \"{measurement}\"{only} GROUP BY \"run\"", cancellationToken).ConfigureAwait(false);
            if (json is null || TryAdd(json, kind, counts) is { } wrong && (trouble = new(WriteOutcome.Refused, 0, wrong)) is not null)
            {
                return (null, trouble!.Words);
            }
        }

        return (counts, null);
    }

    // What is wrong with the answer; null where it was understood.
    private static string? TryAdd(string json, LineKind kind, PointCounts counts)
    {
        try
        {
            using var answer = JsonDocument.Parse(json);
            var result = answer.RootElement.GetProperty("results")[0];
            if (result.TryGetProperty("error", out var error))
            {
                return ServerWords.Of(error.ToString());
            }

            foreach (var series in result.TryGetProperty("series", out var all) ? all.EnumerateArray() : default)
            {
                counts.Add(series.GetProperty("tags").GetProperty("run").GetString() ?? "", kind, series.GetProperty("values")[0][1].GetInt64());
            }

            return null;
        }
        catch (Exception exception) when (exception is JsonException or KeyNotFoundException or InvalidOperationException or IndexOutOfRangeException or FormatException)
        {
            return $"the answer is not one of InfluxDB: {exception.Message}";
        }
    }

    private static string Flux(string text) => $"\"{text.Replace("\\", "\\\\", StringComparison.Ordinal).Replace("\"", "\\\"", StringComparison.Ordinal).Replace("${", "\\${", StringComparison.Ordinal)}\"";
}
