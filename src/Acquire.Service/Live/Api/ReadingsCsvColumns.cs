using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Service.Archive;

namespace Acquire.Service.Live.Api;

/// <summary>Which columns the file of a run's readings has beside time, temperature and detector: only those that say something.</summary>
internal sealed class ReadingsCsvColumns
{
    private static readonly RowChannels Known = BenchColumns.All.Aggregate(RowChannels.None, (all, known) => all | known.Channel);

    private readonly string _signalName;

    private ReadingsCsvColumns(RunPlan plan) => (Flame, _signalName) = (plan.HasFlameSignal, ThermometerColumns.Signals[plan.Thermometer.Unit]);

    /// <summary>The tester reports its test flame: an empty column would say that it does.</summary>
    public bool Flame { get; }

    /// <summary>Rows carry a second detector.</summary>
    public bool SecondDetector { get; private set; }

    /// <summary>Rows carry the thermometer's signal.</summary>
    public bool Signal { get; private set; }

    /// <summary>Rows carry the temperature of the reference junction.</summary>
    public bool Junction { get; private set; }

    /// <summary>Something is known against a thermometer reading.</summary>
    public bool Marks { get; private set; }

    /// <summary>Which of the <see cref="BenchColumns"/> rows carry.</summary>
    public RowChannels Bench { get; private set; }

    /// <summary>First line of the file.</summary>
    public string Header => string.Join(',', ((string?[])
        [
            "time_s", "temperature_c", DetectorColumns.First, SecondDetector ? DetectorColumns.Second : null, Flame ? "flame" : null,
            Signal ? _signalName : null, Junction ? ThermometerColumns.Junction : null, Marks ? ThermometerColumns.Marks : null,
            .. BenchColumns.All.Select(known => (Bench & known.Channel) != 0 ? known.Column : null),
        ]).Where(name => name is not null));

    /// <summary>Looks through the rows, as far as they can be read, for what they carry.</summary>
    public static ReadingsCsvColumns Of(RunPlan plan, IEnumerable<ReadingRow> rows)
    {
        var columns = new ReadingsCsvColumns(plan);
        try
        {
            foreach (var row in rows)
            {
                columns.SecondDetector |= row.Has(RowChannels.SecondDetector);
                columns.Signal |= row.Has(RowChannels.Signal);
                columns.Junction |= row.Has(RowChannels.Junction);
                columns.Marks |= row.Marks != ReadingMarks.None;
                columns.Bench |= row.Present & Known;
                if (columns.SecondDetector && columns.Signal && columns.Junction && columns.Marks && columns.Bench == Known)
                {
                    break;
                }
            }
        }
        catch (ArchiveCorruptException)
        {
            // Nothing behind the damage can be given, so its columns do not matter. It is told when the rows are written, as far as they go.
        }

        return columns;
    }
}
