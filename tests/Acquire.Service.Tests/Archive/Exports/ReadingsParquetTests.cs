using System.Text.Json;
using Acquire.Core.Readings;
using Acquire.Service.Archive.Exports;
using Acquire.Service.Live;
using Acquire.Service.Tests.Configuration;
using Parquet;
using Xunit;

namespace Acquire.Service.Tests.Archive.Exports;

public sealed class ReadingsParquetTests
{
    private const RowChannels All = (RowChannels)8191;

    // Every channel there and every channel away, and numbers that a careless writer would round.
    private static readonly ReadingRow[] Rows =
    [
        new(0, All, 60.123456789012344, 0.1 + 0.2, true)
        {
            Signal = 8341, JunctionCelsius = 24.85, Marks = ReadingMarks.Stuck | ReadingMarks.ImpossibleJump, Command = 9_007_199_254_740_993, HeaterFraction = 1 / 3.0, StirrerRevolutionsPerMinute = 104,
            Stirring = true, Lit = false, AirMetresPerSecond = 0.06, AmbientCelsius = -0.0, SecondDetector = 5e-324,
        },
        new(0.1, RowChannels.None, 7, 7, true) { Signal = 7, JunctionCelsius = 7 },
        new(0.2, RowChannels.Temperature | RowChannels.Flame, -17.77, 0, false),
        new(1234567.891, RowChannels.Detector, 0, 1.7976931348623157e308, false),
    ];

    private static readonly RunDetail Run = new(
        new("r-1", "bench-1", ArchiveBench.Plan.Method.Id, "Turbine oil, lot 3", 220, ArchiveBench.Start, null, 4, false, null),
        ArchiveBench.Plan with { Thermometer = ArchiveBench.Thermocouple }, [], []);

    private static readonly RunProvenance Provenance = new("0b4c6a0e-6c1f-4a35-9d13-6f0e2d5c7a11", "0.1.0", "serial /dev/tester, 10 rows/s");

    [Fact(Timeout = 60000)]
    public async Task Every_bit_comes_back_and_what_is_not_there_is_nothing()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var reader = await ParquetReader.CreateAsync(new MemoryStream(await FileAsync(cancel)), cancellationToken: cancel);

        Assert.Equal(
            ["time_s", "temperature_c", "detector", "second_detector", "flame", "thermometer_uv", "junction_c", "thermometer_marks", "command", "heater", "stirrer_rpm", "stirring", "lit", "air_m_s", "ambient_c"],
            reader.Schema.DataFields.Select(field => field.Name));
        var times = new double[4];
        using var group = reader.OpenRowGroupReader(0);
        await group.ReadAsync<double>(reader.Schema.DataFields[0], times, cancellationToken: cancel);
        Assert.Equal(Rows.Select(row => row.AtSeconds), times);
        foreach (var (name, channel, value) in ((string, RowChannels, Func<ReadingRow, double>)[])
            [
                ("temperature_c", RowChannels.Temperature, row => row.TemperatureCelsius), ("detector", RowChannels.Detector, row => row.Detector), ("second_detector", RowChannels.SecondDetector, row => row.SecondDetector),
                ("thermometer_uv", RowChannels.Signal, row => row.Signal), ("junction_c", RowChannels.Junction, row => row.JunctionCelsius), ("heater", RowChannels.Heater, row => row.HeaterFraction),
                ("stirrer_rpm", RowChannels.Stirrer, row => row.StirrerRevolutionsPerMinute), ("air_m_s", RowChannels.Air, row => row.AirMetresPerSecond), ("ambient_c", RowChannels.Ambient, row => row.AmbientCelsius),
            ])
        {
            var read = new double?[4];
            await group.ReadAsync<double>(reader.Schema.DataFields.Single(field => field.Name == name), read, cancellationToken: cancel);
            Assert.Equal(Rows.Select(row => row.Has(channel) ? BitConverter.DoubleToInt64Bits(value(row)) : (long?)null), read.Select(one => one is { } number ? BitConverter.DoubleToInt64Bits(number) : (long?)null));
        }
    }

    [Fact(Timeout = 60000)]
    public async Task The_file_says_which_run_it_is_of_and_in_which_units()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var reader = await ParquetReader.CreateAsync(new MemoryStream(await FileAsync(cancel)), cancellationToken: cancel);

        Assert.Equal("acquire-readings-1", reader.CustomMetadata["acquire.format"]);
        Assert.Equal("r-1", reader.CustomMetadata["acquire.run"]);
        Assert.Equal(ArchiveBench.Plan.Method.Id, reader.CustomMetadata["acquire.method"]);
        Assert.Equal("0.1.0", reader.CustomMetadata["acquire.software_version"]);
        Assert.Equal(("s", "°C", "µV", "m/s"), (reader.CustomMetadata["acquire.unit.time_s"], reader.CustomMetadata["acquire.unit.temperature_c"], reader.CustomMetadata["acquire.unit.thermometer_uv"], reader.CustomMetadata["acquire.unit.air_m_s"]));
        Assert.False(reader.CustomMetadata.ContainsKey("acquire.unit.detector"));
    }

    [Fact(Timeout = 60000)]
    public async Task A_run_without_a_reading_is_a_file_without_a_row()
    {
        var cancel = TestContext.Current.CancellationToken;
        using var stream = new MemoryStream();
        await ReadingsParquet.WriteAsync(stream, Run, Provenance, [], cancel);
        await using var reader = await ParquetReader.CreateAsync(new MemoryStream(stream.ToArray()), cancellationToken: cancel);

        Assert.Equal(0, reader.RowGroupCount);
        Assert.Equal(4, reader.Schema.DataFields.Length);
    }

    /// <summary>The page's tests read this file with a reader that nobody here wrote, and compare it with the JSON beside it.</summary>
    [Fact(Timeout = 60000)]
    public async Task The_file_that_another_reader_is_tried_on_is_what_is_written()
    {
        var cancel = TestContext.Current.CancellationToken;
        var path = Path.Combine(ConfigSamples.RepositoryRoot(), "dashboards", "test", "fixtures", "service-readings.json");
        using var document = new MemoryStream();
        RunDocument.Write(document, Run, Provenance, Rows);
        using var readings = JsonDocument.Parse(document.ToArray());
        var written = JsonSerializer.Serialize(new { parquet = Convert.ToBase64String(await FileAsync(cancel)), readings = readings.RootElement.GetProperty("readings") }, Indented) + "\n";
        if (Environment.GetEnvironmentVariable("ACQUIRE_WRITE_FIXTURES") == "1")
        {
            await File.WriteAllTextAsync(path, written, cancel);
        }

        Assert.True((await File.ReadAllTextAsync(path, cancel)).ReplaceLineEndings("\n") == written, "service-readings.json is not what is written now. Write it anew with ACQUIRE_WRITE_FIXTURES=1, then let the page's tests read it.");
    }

    private static JsonSerializerOptions Indented { get; } = new() { WriteIndented = true, NewLine = "\n", Encoder = System.Text.Encodings.Web.JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    private static async Task<byte[]> FileAsync(CancellationToken cancel)
    {
        using var stream = new MemoryStream();
        await ReadingsParquet.WriteAsync(stream, Run, Provenance, Rows, cancel);
        return stream.ToArray();
    }
}
