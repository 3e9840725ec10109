namespace Acquire.Simulator;

/// <summary>What became of one kind of disturbance in a run.</summary>
/// <param name="Kind">The kind.</param>
/// <param name="Count">How often it did something, such as gusts, wild readings, changed flashes, lost stretches; 0 where it is simply there for its time.</param>
/// <param name="TimesSeconds">When it began to, s, in order; at most 200 times are told.</param>
public sealed record SimulatedDisturbance(DisturbanceKind Kind, int Count, IReadOnlyList<double> TimesSeconds)
{
    private const int MostTimes = 200;

    /// <summary>What became of all that was asked for; null for nothing asked.</summary>
    internal static IReadOnlyList<SimulatedDisturbance>? Of(SimulatorOptions options, RunScript script)
    {
        if (options.Disturbances.Count == 0)
        {
            return null;
        }

        var end = script.Truth.EndSeconds;
        var events = script.Events
            .Concat(Gusts.Draw(options, end).Select(gust => new DisturbanceEvent(DisturbanceKind.Draught, gust.FromSeconds)))
            .Concat(Spike.Draw(options, end, isSecond: false).Select(spike => new DisturbanceEvent(DisturbanceKind.Spikes, spike.Seconds)))
            .Concat(options.TwoDetectors ? Spike.Draw(options, end, isSecond: true).Select(spike => new DisturbanceEvent(DisturbanceKind.Spikes, spike.Seconds)) : [])
            .Concat(MessageStretch.Draw(options, end).Select(stretch => new DisturbanceEvent(stretch.Kind, stretch.FromSeconds)))
            .Concat(Beginnings(options, end))
            .OrderBy(one => one.Seconds)
            .ToLookup(one => one.Kind, one => Math.Round(one.Seconds, 4));
        return [.. options.Disturbances.Select(one => one.Kind).Distinct().Select(kind => new SimulatedDisturbance(kind, events[kind].Count(), [.. events[kind].Take(MostTimes)]))];
    }

    // What is there from one moment on has that moment.
    private static IEnumerable<DisturbanceEvent> Beginnings(SimulatorOptions options, double endSeconds) => options.Disturbances
        .Where(one => one.Kind is DisturbanceKind.FlameOut or DisturbanceKind.SensorBreak or DisturbanceKind.ClockJump && one.From < endSeconds)
        .Select(one => new DisturbanceEvent(one.Kind, one.From));
}
