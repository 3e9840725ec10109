using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>Follows the temperature of the room while the specimen is heated.</summary>
internal static class RoomSupervision
{
    // A room changes in minutes: what counts is a mean, and its first value once it has forgotten what the sensor began with.
    private const double MeanSeconds = 10, BeginsAfterSeconds = 30;

    /// <summary>A reading of the room's temperature, °C.</summary>
    public static void Read(in Bench bench, double seconds, double celsius)
    {
        var s = bench.State;
        var ledger = s.Told;
        var mean = ledger.Room.Take(seconds, celsius, MeanSeconds);
        ledger.RoomSince ??= seconds;
        if (bench.Rules.Method.Surroundings is not { } rules || !(bench.Searching || s.Phase == RunPhase.FastHeating) || seconds - ledger.RoomSince < BeginsAfterSeconds)
        {
            return;
        }

        (ledger.RoomLowest, ledger.RoomHighest) = (Math.Min(ledger.RoomLowest, mean), Math.Max(ledger.RoomHighest, mean));
        if (ledger.RoomChangedAt is null && ledger.RoomHighest - ledger.RoomLowest > rules.AmbientChangeCelsius)
        {
            (ledger.RoomChangedAt, ledger.RoomChangedCelsius) = (seconds, s.TemperatureCelsius);
        }

        if (ledger.RoomOutsideAt is null && rules.AmbientCelsius is { } range && !range.Contains(mean))
        {
            (ledger.RoomOutsideAt, ledger.RoomOutsideCelsius) = (seconds, s.TemperatureCelsius);
        }
    }

    /// <summary>States what was noticed.</summary>
    public static void Finish(in Bench bench)
    {
        var ledger = bench.State.Told;
        var rules = bench.Rules.Method.Surroundings;
        if (ledger.RoomChangedAt is { } changed && rules?.AmbientChangeCelsius is { } limit)
        {
            bench.Find(FindingCodes.AmbientChanged, FindingWeight.Note, changed, ledger.RoomChangedCelsius, ledger.RoomHighest - ledger.RoomLowest, limit,
                $"The room changed from {Text.Celsius(ledger.RoomLowest)} to {Text.Celsius(ledger.RoomHighest)} or back while the specimen was heated (limit {Text.Celsius(limit)} apart). Look for an open window or door, and for a draught.");
        }

        if (ledger.RoomOutsideAt is { } outside && rules?.AmbientCelsius is { } range)
        {
            var low = ledger.RoomLowest < range.From;
            bench.Find(FindingCodes.AmbientOutsideRange, FindingWeight.Doubtful, outside, ledger.RoomOutsideCelsius, low ? ledger.RoomLowest : ledger.RoomHighest, low ? range.From : range.To,
                $"The room was at {Text.Celsius(low ? ledger.RoomLowest : ledger.RoomHighest)}; the method wants {Text.Celsius(range.From)} to {Text.Celsius(range.To)}. The analyst decides whether the run may stand.");
        }
    }
}
