using System.Runtime.InteropServices;
using Acquire.Core;
using Acquire.Core.Readings;
using Acquire.Core.Thermometry;

namespace Acquire.Service.CommandLine.Lagging;

/// <summary>What a person gave to `acquire lag`, checked.</summary>
internal sealed record LagRequest
{
    public required string Trace { get; init; }

    /// <summary>Null: with a reference where the file has one.</summary>
    public required LagWay? Way { get; init; }

    public required string TimeColumn { get; init; }

    public required string TemperatureColumn { get; init; }

    public required string ReferenceColumn { get; init; }

    /// <summary>First time that counts, s.</summary>
    public required double FromSeconds { get; init; }

    /// <summary>Last time that counts, s.</summary>
    public required double ToSeconds { get; init; }

    /// <summary>What is known of sensor and reference at rest.</summary>
    public required KnownOffset? Offset { get; init; }
}

/// <summary>Reads the record and has the lag estimated.</summary>
internal static class LagMeasurement
{
    /// <summary>The lag; null with errors that name file, line and column or the option.</summary>
    public static LagReport? Make(LagRequest request, Func<IEnumerable<string>> lines, List<InputError> errors)
    {
        if (Way(request, lines, errors) is not { } way)
        {
            return null;
        }

        var celsius = new WantedColumn(request.TemperatureColumn, ReadingRow.LowestCelsius, ReadingRow.HighestCelsius);
        WantedColumn[] wanted = [new(request.TimeColumn, -1e9, 1e10), celsius, .. way == LagWay.Ramp ? [celsius with { Name = request.ReferenceColumn }] : Array.Empty<WantedColumn>()];
        if (wanted.DistinctBy(column => column.Name).Count() < wanted.Length)
        {
            errors.Add(new("--temperature-column", "time, temperature and reference must be different columns"));
            return null;
        }

        var file = ColumnFile.Read(request.Trace, lines(), wanted, request.FromSeconds, request.ToSeconds);
        if (file.Errors.Count > 0)
        {
            errors.AddRange(file.Errors);
            return null;
        }

        if (Estimate(way, file, request.Offset, out var refusal) is { } estimate)
        {
            return LagReport.From(request.Trace, way, file.EmptyRows, estimate);
        }

        // What a person knows the record by is its file, and the offset by its option.
        errors.Add(refusal! with { Path = refusal.Path == "offset" ? "--offset-c" : request.Trace });
        return null;
    }

    private static LagWay? Way(LagRequest request, Func<IEnumerable<string>> lines, List<InputError> errors)
    {
        var way = request.Way;
        if (way is null)
        {
            way = ColumnFile.Header(lines().FirstOrDefault() ?? "").Contains(request.ReferenceColumn) ? LagWay.Ramp : null;
            if (way is null)
            {
                errors.Add(new("--step", $"is missing, or --ramp-from-rest, or --ramp; {request.Trace} has no column '{request.ReferenceColumn}' of a reference thermometer, so it has to be said what the record shows"));
            }
        }

        if (way is not null and not LagWay.Ramp && request.Offset is not null)
        {
            errors.Add(new("--offset-c", "goes only with a reference thermometer, --ramp"));
            return null;
        }

        return way;
    }

    private static LagEstimate? Estimate(LagWay way, ColumnFile file, KnownOffset? offset, out InputError? error)
    {
        var seconds = CollectionsMarshal.AsSpan(file.Values[0]);
        var celsius = CollectionsMarshal.AsSpan(file.Values[1]);
        return way switch
        {
            LagWay.Step => LagFromStep.Estimate(seconds, celsius, out error),
            LagWay.RampFromRest => LagFromRamp.Estimate(seconds, celsius, out error),
            _ => LagFromReference.Estimate(seconds, celsius, CollectionsMarshal.AsSpan(file.Values[2]), out error, offset),
        };
    }
}
