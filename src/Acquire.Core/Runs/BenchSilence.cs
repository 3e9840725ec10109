using Acquire.Core.Alarms;
using Acquire.Core.Readings;
using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>What is told of the bench is unknown once its channel has fallen silent; its last value is not carried on.</summary>
internal static class BenchSilence
{
    private const RowChannels Turning = RowChannels.Stirrer | RowChannels.Stirring;

    /// <summary>A row has been taken: which channels are missing in it?</summary>
    public static void Row(in Bench bench, in ReadingRow row)
    {
        var ledger = bench.State.Told;
        if (Falls(bench, ledger.LitRhythm, row, RowChannels.Lit))
        {
            ledger.Lit.Forget(ledger.LitRhythm.ReadAt);
            bench.Clear(AlarmCodes.TestFlameOut);
        }

        if (Falls(bench, ledger.TurnsRhythm, row, Turning))
        {
            ledger.Turns.Forget(ledger.TurnsRhythm.ReadAt);
            ledger.Stirrer.End();
            bench.Clear(AlarmCodes.StirrerOnAtApplication);
            bench.Clear(AlarmCodes.StirrerOutsideBand);
        }

        if (Falls(bench, ledger.AirRhythm, row, RowChannels.Air))
        {
            ledger.Air.Value = null;
            ledger.Draught.End();
            bench.Clear(AlarmCodes.Draught);
        }

        if (Falls(bench, ledger.RoomRhythm, row, RowChannels.Ambient))
        {
            ledger.Room.Value = null;
        }
    }

    /// <summary>States which channels fell silent.</summary>
    public static void Finish(in Bench bench)
    {
        var ledger = bench.State.Told;
        foreach (var (rhythm, name) in new[] { (ledger.LitRhythm, "test flame"), (ledger.TurnsRhythm, "stirrer"), (ledger.AirRhythm, "air"), (ledger.RoomRhythm, "room") })
        {
            if (rhythm.SilentFrom is { } from)
            {
                bench.Find(FindingCodes.BenchSilent, FindingWeight.Note, from, rhythm.SilentCelsius, ChannelRhythm.SilentSeconds, null,
                    $"The sensor of the {name} came with every row and then sent nothing for more than {Text.Seconds(ChannelRhythm.SilentSeconds)} while other readings came. What it would have told from then on is not known and was not judged: check its plug and cable.");
            }
        }
    }

    /// <summary>Whether the channel has just fallen silent with a row; since when is remembered where that was in the course of the run.</summary>
    public static bool Falls(in Bench bench, ChannelRhythm rhythm, in ReadingRow row, RowChannels channel)
    {
        var others = row.Present & ~(channel | RowChannels.Command | RowChannels.Heater);
        var s = bench.State;
        if (others == RowChannels.None || !rhythm.Row(row.AtSeconds, row.Has(channel)))
        {
            return false;
        }

        if (rhythm.SilentFrom is null && s.Phase is not (RunPhase.Ready or RunPhase.Cooling or RunPhase.Closed))
        {
            (rhythm.SilentFrom, rhythm.SilentCelsius) = (rhythm.ReadAt, s.TemperatureCelsius);
        }

        return true;
    }
}
