using Acquire.Core.Readings;

namespace Acquire.Simulator;

/// <summary>What the sensors beside the cup show.</summary>
internal sealed class BenchSource(SimulatorOptions options, SimulatedTruth truth)
{
    // A tester stops its stirrer shortly before the flame is lowered and starts it shortly after, s; assumed.
    private const double StopsBeforeSeconds = 0.8, StartsAfterSeconds = 0.6;

    // Air in a room without a draught, and in one, m/s; assumed.
    private const double CalmMetresPerSecond = 0.05, DraughtMetresPerSecond = 0.8;

    private const double WarmsCelsius = 6;

    private readonly SimulatedBench bench = options.Bench;
    private readonly SimulatorRandom random = new(options.Seed, RandomPurpose.Bench);
    private int pass;

    /// <summary>The row with what the bench's sensors show at its moment; moments come in order.</summary>
    public ReadingRow Read(in ReadingRow row)
    {
        var (seconds, told) = (row.AtSeconds, bench.Channels);
        if (told == RowChannels.None)
        {
            return row;
        }

        var speed = Speed(seconds);
        var air = (bench.Has(BenchFaultKind.Draught, seconds) ? DraughtMetresPerSecond : CalmMetresPerSecond) * (1 + (0.15 * Math.Clamp(random.NextGaussian(), -3, 3)));
        return row with
        {
            Present = row.Present | told,
            StirrerRevolutionsPerMinute = told.HasFlag(RowChannels.Stirrer) ? speed : 0,
            Stirring = told.HasFlag(RowChannels.Stirring) && speed > 0,
            Lit = told.HasFlag(RowChannels.Lit) && !bench.Has(BenchFaultKind.FlameOut, seconds),
            AirMetresPerSecond = told.HasFlag(RowChannels.Air) ? Math.Round(air, 3) : 0,
            AmbientCelsius = told.HasFlag(RowChannels.Ambient) ? Math.Round(Room(seconds) + (0.02 * random.NextGaussian()), 2) : 0,
        };
    }

    private double Speed(double seconds)
    {
        if (options.Method.Stirring is not { } rules || seconds < truth.HeaterOnSeconds || bench.Has(BenchFaultKind.StirrerStands, seconds)
            || (rules.StoppedDuringApplication && NearPass(seconds) && !bench.Has(BenchFaultKind.StirrerOn, seconds)))
        {
            return 0;
        }

        var band = rules.RevolutionsPerMinute;
        return Math.Round(bench.Has(BenchFaultKind.StirrerFast, seconds) ? 1.5 * band.To : (band.From + band.To) / 2);
    }

    private bool NearPass(double seconds)
    {
        var passes = truth.Applications;
        while (pass < passes.Count && seconds > passes[pass].TimeSeconds + passes[pass].DurationSeconds + StartsAfterSeconds)
        {
            pass++;
        }

        return pass < passes.Count && seconds >= passes[pass].TimeSeconds - StopsBeforeSeconds;
    }

    private double Room(double seconds) => options.AmbientCelsius + bench.Faults
        .Where(fault => fault.Kind == BenchFaultKind.RoomWarms)
        .Sum(fault => WarmsCelsius * Math.Clamp((seconds - fault.StartSeconds) / fault.LengthSeconds, 0, 1));
}
