using Acquire.Core.Readings;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Curves;
using Acquire.Service.Tests.Archive.Bundles;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Archive.Curves;

public sealed class RunCurveTests : IDisposable
{
    private readonly ArchiveBench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Fact(Timeout = 60000)]
    public async Task The_lowest_and_the_highest_reading_of_each_stretch_are_there_and_every_fact()
    {
        var cancel = TestContext.Current.CancellationToken;
        var run = PlayedRun.Of("observed", 1);
        await using var archive = _bench.Open();
        await run.WriteAsync(archive, "r-1", cancel);

        foreach (var width in (int[])[10, 100, 2000, 20_000])
        {
            var curve = archive.ReadCurve("r-1", width)!;

            AssertExact(run.Rows, curve, width);
            Assert.Equal(run.Facts.Select((fact, i) => new CurveMark(i, fact.AtSeconds, ArchiveJson.KindOf(fact))), curve.Events);
        }
    }

    [Fact(Timeout = 120000)]
    public async Task Whatever_the_readings_are_no_extreme_is_lost()
    {
        var cancel = TestContext.Current.CancellationToken;
        var runs = 0;
        await using var archive = _bench.Open(new ArchiveOptions { ChunkRows = 16 });
        await Gen.Select(Gen.Int[0, 4095], Gen.Double[-1e6, 1e6], Gen.Double[-300, 1500], Gen.Bool).Array[1, 1500].Select(Gen.Int[10, 400]).SampleAsync(async (drawn, width) =>
        {
            var rows = drawn.Select((one, i) => new ReadingRow(one.Item4 ? i / 10.0 : one.Item2, (RowChannels)(one.Item1 & 7) | ((one.Item1 & 8) != 0 ? RowChannels.SecondDetector : 0), one.Item3, one.Item2, (one.Item1 & 16) != 0)
            {
                SecondDetector = -one.Item2,
                Marks = (one.Item1 & 0xE0) == 0 ? ReadingMarks.ImpossibleJump : ReadingMarks.None,
            }).ToArray();
            var id = $"r-{++runs}";
            await archive.BeginRunAsync(ArchiveBench.Header(id), cancel);
            await archive.AppendRowsAsync(id, rows, cancel);
            await archive.AppendEventsAsync(id, ArchiveBench.EveryFact, cancel);

            AssertExact(rows, archive.ReadCurve(id, width)!, width);
        }, iter: 40, threads: 1);
    }

    [Fact(Timeout = 60000)]
    public async Task A_run_without_readings_has_an_empty_curve_and_one_that_is_not_there_none()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open();
        await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);
        await archive.AppendEventsAsync("r-1", ArchiveBench.EveryFact, cancel);

        var curve = archive.ReadCurve("r-1", 50)!;

        Assert.Equal((0L, 50, ArchiveBench.EveryFact.Count), (curve.Rows, curve.TemperatureLow.Count, curve.Events.Count));
        Assert.All(curve.TemperatureLow, Assert.Null);
        Assert.Null(archive.ReadCurve("r-2", 50));
        Assert.Throws<ArgumentOutOfRangeException>(() => archive.ReadCurve("r-1", 9));
    }

    [Fact(Timeout = 60000)]
    public async Task A_damaged_chunk_is_named()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using (var archive = _bench.Open())
        {
            await PlayedRun.Of("observed", 1).WriteAsync(archive, "r-1", cancel);
        }

        using (var stranger = _bench.Stranger(writes: true))
        {
            ArchiveBench.Ask(stranger, "UPDATE chunks SET body = CAST(substr(body, 1, 40) || x'00' || substr(body, 42) AS BLOB) WHERE chunk = 5");
        }

        await using var again = _bench.Open();
        Assert.Equal("chunk 5", Assert.Throws<ArchiveCorruptException>(() => again.ReadCurve("r-1", 2000)).Part);
    }

    // The long way: every reading by itself.
    private static void AssertExact(IReadOnlyList<ReadingRow> rows, RunCurve curve, int width)
    {
        var (low, high, detectorLow, detectorHigh, otherLow, otherHigh, flame) = (new double?[width], new double?[width], new double?[width], new double?[width], new double?[width], new double?[width], new bool[width]);
        foreach (var row in rows)
        {
            var at = (int)Math.Clamp((row.AtSeconds - curve.FromSeconds) * (1 / curve.StretchSeconds), 0, width - 1);
            Widen(low, high, at, row.HasSoundTemperature, row.TemperatureCelsius);
            Widen(detectorLow, detectorHigh, at, row.Has(RowChannels.Detector), row.Detector);
            Widen(otherLow, otherHigh, at, row.Has(RowChannels.SecondDetector), row.SecondDetector);
            flame[at] |= row.Has(RowChannels.Flame) && row.FlameOver;
        }

        Assert.Equal(rows.Count, curve.Rows);
        Assert.Equal(low, curve.TemperatureLow);
        Assert.Equal(high, curve.TemperatureHigh);
        Assert.Equal(detectorLow, curve.DetectorLow);
        Assert.Equal(detectorHigh, curve.DetectorHigh);
        Assert.Equal(otherLow.All(value => value is null) ? null : otherLow, curve.SecondDetectorLow);
        Assert.Equal(otherHigh.All(value => value is null) ? null : otherHigh, curve.SecondDetectorHigh);
        Assert.Equal(flame, curve.Flame);
    }

    private static void Widen(double?[] low, double?[] high, int at, bool there, double value)
    {
        if (there)
        {
            low[at] = low[at] is { } lowest ? Math.Min(lowest, value) : value;
            high[at] = high[at] is { } highest ? Math.Max(highest, value) : value;
        }
    }
}
