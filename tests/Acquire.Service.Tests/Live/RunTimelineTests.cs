using Acquire.Core.Readings;
using Acquire.Service.Live;
using Acquire.Service.Tests.Lanes;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Live;

public sealed class RunTimelineTests
{
    // Steps of a device clock: mostly a tenth, sometimes back a little, sometimes a hole of seconds or of hours.
    private static readonly Gen<double> Step = Gen.Frequency((20, Gen.Double[0, 0.3]), (2, Gen.Double[-0.9, 0]), (2, Gen.Double[0.5, 30]), (1, Gen.Double[3000, 90000]));

    private static readonly Gen<ReadingRow[]> Rows = Gen.Select(Step, Gen.OneOf(Gen.Int[0, 7], Gen.Int[0, 7].Select(present => present | (int)RowChannels.SecondDetector)), Gen.Double[20, 300], Gen.Double[-1, 5], Gen.Bool, (step, present, celsius, detector, flame) => (step, present, celsius, detector, flame))
        .Array[0, 400]
        .Select(items =>
        {
            var at = 0.0;
            return items.Select(item => new ReadingRow(at += item.step, (RowChannels)item.present, item.celsius, item.detector, item.flame) { SecondDetector = 10 - item.detector }).ToArray();
        });

    [Fact]
    public void Stretches_from_any_split_make_the_whole_curve() => Gen.Select(Rows, Gen.Int[1, 50], Gen.Int[1, 50]).Sample((rows, batch, most) =>
    {
        var whole = Rebuilt(rows);
        var timeline = new RunTimeline(TestTester.Opening("r"));
        var held = new List<CurvePoint>();
        foreach (var part in rows.Chunk(batch))
        {
            timeline.AddRows(part);
            held.AddRange(Points(timeline.Points(held.Count, most), held.Count));
        }

        timeline.Close(DateTimeOffset.UnixEpoch, new(Core.Results.Verdict.Valid, null, null, 101.3, [], []), rows.Length);
        while (held.Count < timeline.PointCount)
        {
            held.AddRange(Points(timeline.Points(held.Count, most), held.Count));
        }

        Assert.Equal(whole, held);
    }, iter: 300);

    [Fact]
    public void Points_lie_on_fifths_and_go_forward() => Rows.Sample(rows =>
    {
        var previous = double.NegativeInfinity;
        foreach (var point in Rebuilt(rows))
        {
            Assert.True(point.TimeSeconds > previous);
            Assert.Equal(0, Math.IEEERemainder(point.TimeSeconds - 0.1, CurveBinner.PointSeconds), 6);
            previous = point.TimeSeconds;
        }
    }, iter: 200);

    [Fact]
    public void A_blink_is_never_averaged_away_and_the_temperature_is_the_mean()
    {
        var points = Rebuilt([TestTester.Row(0.0, 100, 0.1), TestTester.Row(0.1, 101, 9, flame: true), TestTester.Row(0.2, 102, 0.2)]);

        Assert.Equal([new(0.1, 100.5, 0.1, 9, true), new(0.3, 102, 0.2, 0.2, false)], points);
    }

    [Fact]
    public void A_second_detector_has_columns_of_its_own_and_none_where_no_point_has_a_value()
    {
        var timeline = new RunTimeline(TestTester.Opening("r"));
        var told = TestTester.Row(0.2, 102, 0.2);
        timeline.AddRows([
            TestTester.Row(0.0, 100, 0.1),
            told with { Present = told.Present | RowChannels.SecondDetector, SecondDetector = 12 },
            new(0.3, RowChannels.SecondDetector, 0, 0, false) { SecondDetector = -3 },
            TestTester.Row(0.4, 100, 0.1) with { SecondDetector = 99 },
            TestTester.Row(0.6, 100, 0.1),
        ]);

        var stretch = timeline.Points(0, 10);
        Assert.Equal([null, -3, null], stretch.SecondDetectorLow!);
        Assert.Equal([null, 12, null], stretch.SecondDetectorHigh!);
        Assert.Equal([0.1, 0.2, 0.1], stretch.DetectorLow);
        Assert.Null(timeline.Points(2, 10).SecondDetectorLow);
        Assert.Null(timeline.Points(2, 10).SecondDetectorHigh);
    }

    [Fact]
    public void A_hole_keeps_its_width_as_points_without_values()
    {
        var points = Rebuilt([TestTester.Row(0), TestTester.Row(0.9)]);

        Assert.Equal([0.1, 0.3, 0.5, 0.7, 0.9], points.Select(point => point.TimeSeconds));
        Assert.All(points[1..4], point => Assert.Equal(new(point.TimeSeconds, null, null, null, false), point));
    }

    [Fact]
    public void A_hole_of_more_than_an_hour_is_one_empty_point()
    {
        var points = Rebuilt([TestTester.Row(0), TestTester.Row(1e8)]);

        Assert.Equal(3, points.Count);
        Assert.Null(points[1].TemperatureCelsius);
    }

    [Fact]
    public void The_open_fifth_is_not_visible_until_it_is_complete()
    {
        var timeline = new RunTimeline(TestTester.Opening("r"));

        timeline.AddRows([TestTester.Row(0), TestTester.Row(0.1)]);
        Assert.Equal(0, timeline.PointCount);

        timeline.AddRows([TestTester.Row(0.2)]);
        Assert.Equal(1, timeline.PointCount);
    }

    [Fact]
    public void A_flame_that_is_told_only_when_it_moves_holds_while_readings_arrive()
    {
        var flameOn = new ReadingRow(0, RowChannels.Flame, 0, 0, true);
        var flameOff = new ReadingRow(0.65, RowChannels.Flame, 0, 0, false);

        var points = Rebuilt([flameOn, Cup(0.25), Cup(0.45), flameOff, Cup(0.85)]);

        Assert.Equal([true, true, true, false, false], points.Select(point => point.Flame));

        static ReadingRow Cup(double at) => new(at, RowChannels.Temperature, 100, 0, false);
    }

    [Fact]
    public void An_index_beyond_the_end_starts_at_the_end()
    {
        var timeline = new RunTimeline(TestTester.Opening("r"));
        timeline.AddRows([TestTester.Row(0), TestTester.Row(0.2)]);

        var stretch = timeline.Points(50, 10);

        Assert.Equal((1, 0), (stretch.From, stretch.Time.Count));
        Assert.Empty(timeline.Events(50, 10));
    }

    [Fact(Timeout = 30000)]
    public async Task Readers_beside_a_writer_see_every_point_once_and_whole()
    {
        var timeline = new RunTimeline(TestTester.Opening("r"));
        var rows = TestTester.Heating(0, 40_000).ToArray();
        var readers = Enumerable.Range(0, 4).Select(_ => Task.Run(() => ReadToEndAsync(timeline, TestContext.Current.CancellationToken), TestContext.Current.CancellationToken)).ToArray();

        foreach (var part in rows.Chunk(7))
        {
            timeline.AddRows(part);
        }

        timeline.EndInterrupted(rows.Length);

        foreach (var read in await Task.WhenAll(readers))
        {
            Assert.Equal(Rebuilt(rows), read);
        }
    }

    private static async Task<List<CurvePoint>> ReadToEndAsync(RunTimeline timeline, CancellationToken cancellationToken)
    {
        var held = new List<CurvePoint>();
        while (true)
        {
            var version = timeline.Version;
            var ended = timeline.Ended;
            held.AddRange(Points(timeline.Points(held.Count, 100), held.Count));
            if (ended && held.Count == timeline.PointCount)
            {
                return held;
            }

            if (held.Count == timeline.PointCount)
            {
                await timeline.NewerThan(version).WaitAsync(cancellationToken);
            }
        }
    }

    private static List<CurvePoint> Rebuilt(IEnumerable<ReadingRow> rows)
    {
        var (binner, points) = (new CurveBinner(), new List<CurvePoint>());
        foreach (var row in rows)
        {
            binner.Add(row, points);
        }

        binner.Finish(points);
        return points;
    }

    private static IEnumerable<CurvePoint> Points(CurveStretch stretch, int expectedFrom)
    {
        Assert.Equal(expectedFrom, stretch.From);
        return Enumerable.Range(0, stretch.Time.Count).Select(index =>
            new CurvePoint(stretch.Time[index], stretch.Temperature[index], stretch.DetectorLow[index], stretch.DetectorHigh[index], stretch.Flame[index])
            {
                SecondDetectorLow = stretch.SecondDetectorLow?[index],
                SecondDetectorHigh = stretch.SecondDetectorHigh?[index],
            });
    }
}
