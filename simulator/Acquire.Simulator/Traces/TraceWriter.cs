using System.Text;
using System.Text.Json;
using System.Text.Json.Serialization;
using System.Text.Json.Serialization.Metadata;
using Acquire.Core.Readings;
using Acquire.Core.Thermometry;

namespace Acquire.Simulator;

/// <summary>Writes a simulated run as a trace file, and the truth about it beside it.</summary>
public static class TraceWriter
{
    private static readonly JsonSerializerOptions TruthOptions = new(JsonSerializerDefaults.Web)
    {
        WriteIndented = true,
        UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
        RespectNullableAnnotations = true,
        TypeInfoResolver = new DefaultJsonTypeInfoResolver { Modifiers = { LeaveOutPlain } },
    };

    /// <summary>Writes the CSV file and, beside it, the truth; returns the truth's path. Files of that name are replaced.</summary>
    /// <param name="run">The run to write.</param>
    /// <param name="csvPath">Where to; `cup.csv` gets `cup.truth.json` beside it.</param>
    /// <param name="cancellationToken">Stops writing; the files are then incomplete.</param>
    public static async Task<string> WriteAsync(SimulatedRun run, string csvPath, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(run);
        var truthPath = await WriteAsync(run, run.Truth, run.Options.Bench.Channels, csvPath, cancellationToken);
        if (run.Truth.Keys is { } keys)
        {
            await File.WriteAllTextAsync(KeysPath(csvPath), string.Join('\n', [SimulatedKey.Header, .. keys.Select(key => key.Line), ""]), cancellationToken);
        }

        return truthPath;
    }

    /// <summary>The same for a driven run, with the commands that were obeyed and the power that was given.</summary>
    /// <inheritdoc cref="WriteAsync(SimulatedRun, string, CancellationToken)"/>
    public static Task<string> WriteAsync(DrivenRun run, string csvPath, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(run);
        return WriteAsync(run.Rows, run.Truth, DrivenCup.OwnChannels, csvPath, cancellationToken);
    }

    /// <summary>Where the keys of the person at a cup that is worked by hand go: `cup.csv` gets `cup.observations.csv` beside it.</summary>
    public static string KeysPath(string csvPath) => Path.ChangeExtension(csvPath, ".observations.csv");

    /// <summary>Writes header and rows: invariant digits, lines ended by a line feed.</summary>
    public static Task WriteAsync(SimulatedRun run, TextWriter writer, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(run);
        ArgumentNullException.ThrowIfNull(writer);
        return WriteAsync(run, run.Options, run.Options.Bench.Channels, writer, cancellationToken);
    }

    private static async Task<string> WriteAsync(IEnumerable<ReadingRow> rows, SimulatedTruth truth, RowChannels bench, string csvPath, CancellationToken cancellationToken)
    {
        await using (var writer = new StreamWriter(csvPath, append: false, new UTF8Encoding(encoderShouldEmitUTF8Identifier: false)))
        {
            await WriteAsync(rows, truth.Options, bench, writer, cancellationToken);
        }

        var truthPath = Path.ChangeExtension(csvPath, ".truth.json");
        await File.WriteAllTextAsync(truthPath, TruthJson(truth) + "\n", cancellationToken);
        return truthPath;
    }

    private static async Task WriteAsync(IEnumerable<ReadingRow> rows, SimulatorOptions options, RowChannels bench, TextWriter writer, CancellationToken cancellationToken)
    {
        var lines = new RowText(new(options.Thermometer.Chain), bench);
        var text = new StringBuilder();
        var begun = false;
        foreach (var row in rows)
        {
            if (!begun)
            {
                lines.Begin(row);
                text.Append(lines.Header(options.HasFlameSignal)).Append('\n');
                begun = true;
            }

            lines.Append(text, row);
            if (text.Length > 32_000)
            {
                await writer.WriteAsync(text, cancellationToken);
                text.Clear();
            }
        }

        if (!begun)
        {
            text.Append(lines.Header(options.HasFlameSignal)).Append('\n');
        }

        await writer.WriteAsync(text, cancellationToken);
    }

    /// <summary>The truth as JSON: camelCase names, the method as its id.</summary>
    public static string TruthJson(SimulatedTruth truth) => JsonSerializer.Serialize(truth, TruthOptions);

    /// <summary>Reads back what <see cref="TruthJson"/> wrote.</summary>
    /// <exception cref="JsonException">It is not such a text, or names a method that is not in the catalogue.</exception>
    public static SimulatedTruth ParseTruth(string json) =>
        JsonSerializer.Deserialize<SimulatedTruth>(json, TruthOptions) ?? throw new JsonException("null where a truth is expected");

    // A truth says what is special; that of a plain thermometer reads as it always has.
    private static void LeaveOutPlain(JsonTypeInfo type)
    {
        if (type.Type == typeof(SimulatorOptions))
        {
            foreach (var property in type.Properties.Where(property => property.PropertyType == typeof(SimulatedBench)))
            {
                property.ShouldSerialize = (_, value) => !SimulatedBench.Silent.Equals(value);
            }

            foreach (var property in type.Properties.Where(property => property.PropertyType == typeof(IReadOnlyList<Disturbance>)))
            {
                property.ShouldSerialize = (_, value) => value is IReadOnlyList<Disturbance> { Count: > 0 };
            }
        }

        if (type.Type != typeof(SimulatedThermometer))
        {
            return;
        }

        foreach (var property in type.Properties)
        {
            property.ShouldSerialize = (_, value) => value switch
            {
                ThermometerChain chain => chain != ThermometerChain.Plain,
                IReadOnlyList<SimulatedFault> faults => faults.Count > 0,
                double number => number != 0 || property.Name != "driftCelsiusPerHour",
                _ => true,
            };
        }
    }
}
