using Acquire.Service.Live;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Live;

public sealed class CurveLogTests
{
    private static readonly Gen<double> Value = Gen.OneOf(Gen.Double, Gen.Int[-40_000, 40_000].Select(whole => whole / 100.0), Gen.Const(-0.0), Gen.Const(double.MaxValue));

    private static readonly Gen<CurvePoint> Point =
        from time in Gen.Int[0, 1_000_000]
        from temperature in Value
        from low in Value
        from high in Value
        from has in Gen.Int[0, 15]
        select new CurvePoint((time / 5.0) + 0.1, (has & 1) != 0 ? temperature : null, (has & 2) != 0 ? low : null, (has & 2) != 0 ? high : null, (has & 8) != 0)
        {
            SecondDetectorLow = (has & 4) != 0 ? high : null,
            SecondDetectorHigh = (has & 4) != 0 ? low : null,
        };

    [Fact]
    public void Every_point_comes_back_with_every_bit_from_wherever_it_is_read()
    {
        Gen.Select(Point.Array[0, (3 * CurveLog.BlockPoints) + 10], Gen.Int[0, 4 * CurveLog.BlockPoints], Gen.Int[0, 4 * CurveLog.BlockPoints]).Sample(
            (points, from, most) =>
            {
                var log = Filled(points);
                return log.Count == points.Length && Bits(log.Copy(from, most)).SequenceEqual(Bits(points.Skip(from).Take(most)));
            },
            iter: 300);
    }

    [Fact]
    public void What_is_whole_takes_a_few_bytes_a_point()
    {
        var random = new Random(1);
        CurvePoint[] points = [.. Enumerable.Range(0, CurveLog.BlockPoints).Select(i => new CurvePoint((i / 5.0) + 0.1, Math.Round(200 + (i * 0.0183) + (0.02 * random.NextDouble()), 4), Math.Round(0.3 + (0.002 * random.NextDouble()), 4), Math.Round(0.302 + (0.002 * random.NextDouble()), 4), i % 100 < 5))];

        // A point that is not packed takes 96 bytes.
        Assert.InRange(CurveBlock.Pack(points).Length / (double)points.Length, 1, 8);
    }

    [Fact(Timeout = 30000)]
    public async Task Readers_see_whole_points_in_order_while_the_writer_goes_on()
    {
        var log = new CurveLog();
        var readers = Enumerable.Range(0, 4).Select(_ => Task.Run(() =>
        {
            var seen = 0;
            while (seen < 20_000)
            {
                foreach (var point in log.Copy(seen, 1000))
                {
                    Assert.Equal(new CurvePoint(seen, seen, seen, seen + 1, seen % 2 == 0), point);
                    seen++;
                }
            }
        }, TestContext.Current.CancellationToken)).ToArray();
        for (var i = 0; i < 20_000; i++)
        {
            log.Add(new(i, i, i, i + 1, i % 2 == 0));
        }

        await Task.WhenAll(readers);
        Assert.Equal(20_000, log.Count);
    }

    private static CurveLog Filled(IEnumerable<CurvePoint> points)
    {
        var log = new CurveLog();
        foreach (var point in points)
        {
            log.Add(point);
        }

        return log;
    }

    private static IEnumerable<(long, long?, long?, long?, bool, long?, long?)> Bits(IEnumerable<CurvePoint> points) => points.Select(point => (
        BitConverter.DoubleToInt64Bits(point.TimeSeconds), Bits(point.TemperatureCelsius), Bits(point.DetectorLow), Bits(point.DetectorHigh), point.Flame, Bits(point.SecondDetectorLow), Bits(point.SecondDetectorHigh)));

    private static long? Bits(double? value) => value is { } given ? BitConverter.DoubleToInt64Bits(given) : null;
}
