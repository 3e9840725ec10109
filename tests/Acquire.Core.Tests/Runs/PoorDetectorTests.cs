using Acquire.Core.Readings;
using Acquire.Core.Tests.Traces;
using Xunit;

namespace Acquire.Core.Tests.Runs;

/// <summary>Detectors as a laboratory may own them: wild single readings, coarse converters. Figures are ours: common practice, no source.</summary>
public sealed class PoorDetectorTests
{
    [Theory]
    [InlineData(1e5, true)]
    [InlineData(-1e5, true)]
    [InlineData(1e5, false)]
    public void One_wild_reading_hides_neither_flash_nor_fire(double height, bool flame)
    {
        var run = new BenchTrace { HasFlame = flame, PassHeight = 12, Seed = 401 }.Make();
        List<ReadingRow> rows = [.. run.Rows];
        rows[500] = rows[500] with { Detector = rows[500].Detector + height };
        rows[rows.Count / 2] = rows[rows.Count / 2] with { Detector = rows[rows.Count / 2].Detector + height };

        run.Judge(rows).AssertTrue(run);
    }

    [Theory]
    [InlineData(12)]
    [InlineData(30)]
    public void Passes_of_one_or_two_counts_of_a_coarse_converter_are_no_flash(double count)
    {
        // Idle noise of 0.5 in counts of 12 or 30: the detector rests on one count, and a pass of 20 lifts it by one or two.
        var run = new BenchTrace { PassHeight = 20, HaloHeight = 10, FlashHeight = 400, BurnHeight = 400, Seed = 402 }.Make();

        run.Judge(run.Rows.Select(row => row with { Detector = Math.Round(row.Detector / count) * count })).AssertTrue(run);
    }
}
