using Acquire.Core.Alarms;
using Acquire.Core.Readings;

namespace Acquire.Core.Runs;

/// <summary>Takes what is told of the bench and hands it to the rules about stirrer, test flame and surroundings.</summary>
internal static class BenchSupervision
{
    /// <summary>A reading of the bench; one whose time does not go forward is kept out and counted.</summary>
    public static void Take(in Bench bench, in RunInput input)
    {
        var s = bench.State;
        var ledger = s.Told;
        var before = input.Kind switch
        {
            RunInputKind.Lit => ledger.Lit.ReadAt,
            RunInputKind.Stirrer or RunInputKind.Stirring => ledger.Turns.ReadAt,
            RunInputKind.Air => ledger.Air.ReadAt,
            _ => ledger.Room.ReadAt,
        };
        if (input.AtSeconds <= before)
        {
            s.NotForward++;
            return;
        }

        s.AtSeconds = Math.Max(s.AtSeconds, input.AtSeconds);
        ledger.IsTold = true;
        switch (input.Kind)
        {
            case RunInputKind.Lit:
                ledger.Lit.Take(input.AtSeconds, input.Value != 0);
                TestFlameSupervision.Look(bench);
                break;
            case RunInputKind.Stirrer:
                StirrerSupervision.Read(bench, input.AtSeconds, input.Value >= ReadingRow.StandingRevolutionsPerMinute, Math.Clamp(input.Value, 0, ReadingRow.FastestStirrerRevolutionsPerMinute));
                break;
            case RunInputKind.Stirring:
                StirrerSupervision.Read(bench, input.AtSeconds, input.Value != 0, null);
                break;
            case RunInputKind.Air:
                AirSupervision.Read(bench, input.AtSeconds, Math.Clamp(input.Value, 0, ReadingRow.FastestAirMetresPerSecond));
                break;
            default:
                RoomSupervision.Read(bench, input.AtSeconds, Math.Clamp(input.Value, ReadingRow.LowestAmbientCelsius, ReadingRow.HighestAmbientCelsius));
                break;
        }
    }

    /// <summary>The temperature has moved on: what stands on the bench may matter now.</summary>
    public static void Look(in Bench bench)
    {
        if (bench.State.Told.IsTold)
        {
            TestFlameSupervision.Look(bench);
            StirrerSupervision.Look(bench);
        }
    }

    /// <summary>An application is over and has been judged.</summary>
    /// <param name="bench">The run.</param>
    /// <param name="application">The application; one with a test flame that was out is passed over.</param>
    /// <param name="toSeconds">When the flame was taken away, s.</param>
    public static void Applied(in Bench bench, Application application, double toSeconds)
    {
        var s = bench.State;
        if (!s.Told.IsTold || application.Unlit || s.Series.FirstNumber == 0 || application.Number < s.Series.FirstNumber || s.Fire is not null || s.Phase == RunPhase.Cooling)
        {
            return;
        }

        StirrerSupervision.Applied(bench, application, toSeconds);
        if (s.Told.Draught.Touches(application.TimeSeconds, toSeconds))
        {
            s.Told.Draughty.Add(application.TimeSeconds, application.TemperatureCelsius);
        }
    }

    /// <summary>Heating is over: nothing on the bench matters for the result any more.</summary>
    public static void Rest(in Bench bench)
    {
        bench.State.Told.Draught.End();
        bench.State.Told.Stirrer.End();
        bench.Clear(AlarmCodes.TestFlameOut);
        bench.Clear(AlarmCodes.StirrerOnAtApplication);
        bench.Clear(AlarmCodes.StirrerOutsideBand);
        bench.Clear(AlarmCodes.Draught);
    }

    /// <summary>States what was noticed.</summary>
    public static void Finish(in Bench bench)
    {
        if (bench.State.Told.IsTold)
        {
            StirrerSupervision.Finish(bench);
            AirSupervision.Finish(bench);
            RoomSupervision.Finish(bench);
            BenchSilence.Finish(bench);
        }
    }
}
