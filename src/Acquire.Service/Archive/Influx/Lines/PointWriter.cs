using System.Text;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Service.Archive.Influx.Feeding;

namespace Acquire.Service.Archive.Influx.Lines;

/// <summary>Writes the records of a run as points. The layout is told in docs/influx.md; a name in it never changes its meaning.</summary>
internal sealed class PointWriter
{
    public const string Reading = "reading";
    public const string Event = "event";
    public const string Result = "result";

    private readonly LineText _line;

    public PointWriter(StringBuilder text) => _line = new(text);

    /// <summary>The tags of a run. All follow from the run: whatever their number, a run is one series in each measurement.</summary>
    public static string Tags(FeedRun run) => LineText.Tag("method", run.Method) + LineText.Tag("run", run.Id) + LineText.Tag("tester", run.Tester);

    /// <summary>A row of readings. False, and nothing written, where its time cannot be told.</summary>
    public bool Write(FeedRun run, long index, in ReadingRow row)
    {
        if (PointTime.Of(run.StartedAt, row.AtSeconds, index) is not { } at)
        {
            return false;
        }

        _line.Begin(Reading, run.Tags, PointTime.Part(index)).Number("run_seconds", row.AtSeconds);
        Number(row, RowChannels.Temperature, "temperature_celsius", row.TemperatureCelsius);
        Number(row, RowChannels.Detector, "detector", row.Detector);
        Number(row, RowChannels.SecondDetector, "second_detector", row.SecondDetector);
        YesNo(row, RowChannels.Flame, "flame_over", row.FlameOver);
        if ((row.Present & ~(RowChannels.Temperature | RowChannels.Detector | RowChannels.SecondDetector | RowChannels.Flame)) != 0)
        {
            Others(row);
        }

        if (row.Marks != ReadingMarks.None)
        {
            _line.Words("marks", ReadingMarkWords.Join(row.Marks));
        }

        _line.End(at);
        return true;
    }

    /// <summary>A fact. False, and nothing written, where its time cannot be told.</summary>
    public bool Write(FeedRun run, long sequence, RunOutput fact)
    {
        if (PointTime.Of(run.StartedAt, fact.AtSeconds, sequence) is not { } at)
        {
            return false;
        }

        _line.Begin(Event, run.Tags, PointTime.Part(sequence)).Number("run_seconds", fact.AtSeconds).Number("sequence", sequence).Words("kind", ArchiveJson.KindOf(fact));
        EventFields.Write(_line, fact);
        _line.End(at);
        return true;
    }

    /// <summary>A result. False, and nothing written, where its time cannot be told.</summary>
    public bool Write(FeedRun run, FeedResult result)
    {
        if (PointTime.Of(result.At, 0, result.Index) is not { } at)
        {
            return false;
        }

        _line.Begin(Result, run.Tags, PointTime.Part(result.Index));
        ResultFields.Write(_line, run, result);
        _line.End(at);
        return true;
    }

    private void Others(in ReadingRow row)
    {
        Number(row, RowChannels.Signal, "signal", row.Signal);
        Number(row, RowChannels.Junction, "junction_celsius", row.JunctionCelsius);
        Number(row, RowChannels.Command, "command", row.Command);
        Number(row, RowChannels.Heater, "heater_fraction", row.HeaterFraction);
        Number(row, RowChannels.Stirrer, "stirrer_revolutions_per_minute", row.StirrerRevolutionsPerMinute);
        YesNo(row, RowChannels.Stirring, "stirring", row.Stirring);
        YesNo(row, RowChannels.Lit, "lit", row.Lit);
        Number(row, RowChannels.Air, "air_metres_per_second", row.AirMetresPerSecond);
        Number(row, RowChannels.Ambient, "ambient_celsius", row.AmbientCelsius);
        Number(row, RowChannels.Pressure, "pressure_kilopascals", row.PressureKilopascals);
    }

    private void Number(in ReadingRow row, RowChannels channel, string key, double value)
    {
        if (row.Has(channel))
        {
            _line.Number(key, value);
        }
    }

    private void YesNo(in ReadingRow row, RowChannels channel, string key, bool value)
    {
        if (row.Has(channel))
        {
            _line.YesNo(key, value);
        }
    }
}
