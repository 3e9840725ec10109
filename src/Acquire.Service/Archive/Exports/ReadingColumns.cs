using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Core.Thermometry;

namespace Acquire.Service.Archive.Exports;

/// <summary>Which columns a file of a run's readings has beside time, temperature and detector: only those that say something.</summary>
internal static class ReadingColumns
{
    private static readonly ReadingColumn[] Bench =
    [
        new WholeReadingColumn(BenchColumns.Command, RowChannels.Command, row => row.Command),
        new NumberReadingColumn(BenchColumns.Heater, "share of the heater's most, 0 to 1", RowChannels.Heater, row => row.HeaterFraction),
        new NumberReadingColumn(BenchColumns.Stirrer, "1/min", RowChannels.Stirrer, row => row.StirrerRevolutionsPerMinute),
        new FlagReadingColumn(BenchColumns.Stirring, RowChannels.Stirring, row => row.Stirring),
        new FlagReadingColumn(BenchColumns.Lit, RowChannels.Lit, row => row.Lit),
        new NumberReadingColumn(BenchColumns.Air, "m/s", RowChannels.Air, row => row.AirMetresPerSecond),
        new NumberReadingColumn(BenchColumns.Ambient, "°C", RowChannels.Ambient, row => row.AmbientCelsius),
    ];

    private const RowChannels Optional = RowChannels.SecondDetector | RowChannels.Signal | RowChannels.Junction | RowChannels.Command | RowChannels.Heater | RowChannels.Stirrer
        | RowChannels.Stirring | RowChannels.Lit | RowChannels.Air | RowChannels.Ambient;

    /// <summary>The columns, in the order of a trace file.</summary>
    /// <param name="plan">The run's plan: it says whether the tester reports its test flame. An empty column would say that it does.</param>
    /// <param name="rows">The rows; looked through, as far as they can be read, for what they carry.</param>
    public static IReadOnlyList<ReadingColumn> Of(RunPlan plan, IEnumerable<ReadingRow> rows)
    {
        var (seen, marks) = Seen(rows);
        ReadingColumn?[] columns =
        [
            new NumberReadingColumn("time_s", "s", RowChannels.None, row => row.AtSeconds),
            new NumberReadingColumn("temperature_c", "°C", RowChannels.Temperature, row => row.TemperatureCelsius),
            new NumberReadingColumn(DetectorColumns.First, null, RowChannels.Detector, row => row.Detector),
            (seen & RowChannels.SecondDetector) != 0 ? new NumberReadingColumn(DetectorColumns.Second, null, RowChannels.SecondDetector, row => row.SecondDetector) : null,
            plan.HasFlameSignal ? new FlagReadingColumn("flame", RowChannels.Flame, row => row.FlameOver) : null,
            (seen & RowChannels.Signal) != 0 ? new NumberReadingColumn(ThermometerColumns.Signals[plan.Thermometer.Unit], ThermometerUnits.Symbol(plan.Thermometer.Unit), RowChannels.Signal, row => row.Signal) : null,
            (seen & RowChannels.Junction) != 0 ? new NumberReadingColumn(ThermometerColumns.Junction, "°C", RowChannels.Junction, row => row.JunctionCelsius) : null,
            marks ? new MarksReadingColumn() : null,
            .. Bench.Where(column => (seen & column.Channel) != 0),
        ];
        return [.. columns.OfType<ReadingColumn>()];
    }

    private static (RowChannels Seen, bool Marks) Seen(IEnumerable<ReadingRow> rows)
    {
        var (seen, marks) = (RowChannels.None, false);
        try
        {
            foreach (var row in rows)
            {
                seen |= row.Present & Optional;
                marks |= row.Marks != ReadingMarks.None;
                if (marks && seen == Optional)
                {
                    break;
                }
            }
        }
        catch (ArchiveCorruptException)
        {
            // Nothing behind the damage can be given, so its columns do not matter. It is told when the rows are written, as far as they go.
        }

        return (seen, marks);
    }
}
