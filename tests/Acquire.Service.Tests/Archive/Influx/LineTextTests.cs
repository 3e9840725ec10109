using System.Text;
using Acquire.Core.Readings;
using Acquire.Service.Archive.Influx.Feeding;
using Acquire.Service.Archive.Influx.Lines;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Archive.Influx;

public sealed class LineTextTests
{
    private static readonly FeedRun Run = new(1, "20260302T093015Z-bench-1-7f3a", "bench-1", "astm-d92-18", ArchiveBench.Start, false, true, false, 0, 0, 0);

    [Fact]
    public void A_reading_is_written_as_it_is_documented()
    {
        var row = new ReadingRow(12.3456, RowChannels.Temperature | RowChannels.Detector | RowChannels.Flame, 182.4, 0.031, true) { Marks = ReadingMarks.Late | ReadingMarks.StepTaken };

        Assert.Equal(
            "reading,method=astm-d92-18,run=20260302T093015Z-bench-1-7f3a,tester=bench-1 run_seconds=12.3456,temperature_celsius=182.4,detector=0.031,flame_over=1,marks=\"late+step-taken\" 1772443827468000617\n",
            Write(writer => writer.Write(Run, 617, row)));
    }

    [Fact]
    public void A_finding_and_a_result_are_written_as_they_are_documented()
    {
        Assert.Equal(
            "event,method=astm-d92-18,run=20260302T093015Z-bench-1-7f3a,tester=bench-1 run_seconds=7,sequence=15,kind=\"finding-raised\",code=\"rate-too-fast\",weight=\"doubtful\",temperature_celsius=205.5,value=6.4,limit=6,text=\"The rate was 6.4 °C/min; 5 to 6 is allowed.\" 1772443822123000015\n",
            Write(writer => writer.Write(Run, 15, ArchiveBench.EveryFact[15])));
        Assert.Equal(
            "result,method=astm-d92-18,run=20260302T093015Z-bench-1-7f3a,tester=bench-1 correction=2,verdict=\"doubtful\",specimen=\"oil, \\\"lot\\\" 3\",scouting=0,expected_flash_celsius=220,station_kilopascals=98.7,applications=1,findings=1,flash_observed_celsius=221.4,flash_corrected_celsius=222.05,flash_reported_celsius=222,flash_run_seconds=812.34 1772443815123000002\n",
            Write(writer => writer.Write(Run, new FeedResult(2, ArchiveBench.Start, "oil, \"lot\" 3", 220, ArchiveBench.Result))));
    }

    [Fact]
    public void Every_kind_of_fact_is_a_line_with_its_kind_and_time()
    {
        foreach (var (sequence, fact) in ArchiveBench.EveryFact.Index())
        {
            var point = StoredPoint.Read(Write(writer => writer.Write(Run, sequence, fact)).TrimEnd('\n'));
            Assert.NotNull(point);
            Assert.Equal((fact.AtSeconds, sequence), (point.Number("run_seconds"), point.Number("sequence")));
        }
    }

    [Fact]
    public void What_is_not_a_number_is_left_out_and_the_line_stays_one()
    {
        var row = new ReadingRow(1, RowChannels.Temperature | RowChannels.Detector | RowChannels.SecondDetector, double.NaN, double.PositiveInfinity, false) { SecondDetector = double.NegativeInfinity };

        var point = StoredPoint.Read(Write(writer => writer.Write(Run, 0, row)).TrimEnd('\n'));

        Assert.Equal(["run_seconds"], point!.Fields.Keys);
    }

    [Fact]
    public void Any_text_and_any_id_stay_on_their_line_and_add_no_field_and_no_tag() => Gen.Select(Gen.String, Gen.String, Gen.String).Sample((id, tester, words) =>
    {
        var run = Run with { Id = id, Tester = tester, Method = words };
        var text = Write(writer => writer.Write(run, new FeedResult(0, ArchiveBench.Start, words, null, ArchiveBench.Result)));

        Assert.Equal(1, text.Count(character => character == '\n'));
        var point = StoredPoint.Read(text.TrimEnd('\n'));
        Assert.NotNull(point);
        Assert.Equal("result", point.Measurement);
        Assert.Equal(10 + (words.Length > 0 ? 1 : 0), point.Fields.Count);
    });

    [Fact]
    public void No_two_records_of_a_run_have_one_timestamp_in_one_series_whatever_their_times_are() => Gen.Select(Gen.Double[-5, 1e6], Gen.Long[0, 3_000_000], Gen.Double[-5, 1e6], Gen.Long[0, 3_000_000]).Sample((oneAt, one, otherAt, other) =>
    {
        if (one != other)
        {
            Assert.NotEqual((PointTime.Part(one), PointTime.Of(ArchiveBench.Start, oneAt, one)), (PointTime.Part(other), PointTime.Of(ArchiveBench.Start, otherAt, other)));
            Assert.NotEqual((PointTime.Part(one), PointTime.Of(ArchiveBench.Start, oneAt, one)), (PointTime.Part(other), PointTime.Of(ArchiveBench.Start, oneAt, other)));
        }
    });

    [Fact]
    public void A_timestamp_is_the_records_time_to_the_millisecond_also_before_1970()
    {
        Gen.Select(Gen.Double[-1e5, 1e9], Gen.Long[0, 3_000_000]).Sample((at, index) =>
        {
            var off = (double)(PointTime.Of(DateTimeOffset.UnixEpoch, at, index)!.Value - (index % PointTime.Numbers)) - (at * 1e9);
            Assert.InRange(off, -1_000_200, 200);
        });
        Assert.Equal(-1_000_000 + 7, PointTime.Of(DateTimeOffset.UnixEpoch, -0.0001, 7));
    }

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    [InlineData(1e300)]
    [InlineData(9.3e9)]
    public void A_time_that_cannot_be_told_is_no_line(double at)
    {
        Assert.Null(PointTime.Of(ArchiveBench.Start, at, 0));
        Assert.Null(PointTime.Of(DateTimeOffset.MinValue, 0, 0));
        Assert.Equal("", Write(writer => writer.Write(Run, 0, new ReadingRow(at, RowChannels.Detector, 0, 1, false)), wrote: false));
    }

    [Fact]
    public void Records_beyond_the_first_million_have_a_tag_more()
    {
        var row = new ReadingRow(1, RowChannels.None, 0, 0, false);

        Assert.DoesNotContain("part", Write(writer => writer.Write(Run, 999_999, row)), StringComparison.Ordinal);
        Assert.Contains(",tester=bench-1,part=2 run_seconds=1 1772443816123000005", Write(writer => writer.Write(Run, 2_000_005, row)), StringComparison.Ordinal);
    }

    private static string Write(Func<PointWriter, bool> write, bool wrote = true)
    {
        var text = new StringBuilder();
        Assert.Equal(wrote, write(new PointWriter(text)));
        return text.ToString();
    }
}
