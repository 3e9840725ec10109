using Acquire.Core.Readings;
using Acquire.Core.Runs;

namespace Acquire.Core.Control;

/// <summary>How a driver goes on with a run whose record is all that is left of it.</summary>
public sealed partial class Driver
{
    // What the controller had learnt is not in the record: it learns anew. What was applied, charged and found is.
    private void TakeUp(RunState state, IReadOnlyList<RunOutput> facts, IEnumerable<ReadingRow> rows)
    {
        foreach (var fact in facts)
        {
            Note(fact);
        }

        if (_scouting is not null)
        {
            FindStart(facts, rows);
        }

        if (_flameRules is { } rules && state.Series.Made.Count > 0)
        {
            _flame.DueCelsius = Math.Max(rules.FirstCelsius, state.Series.NextDueCelsius);
        }

        _told.UnionWith(_guard.Trips.Select(trip => trip.Code));
        HeaterGuard.Resumed(_guard);
        _wasOn = state.HeaterIsOn;
    }

    private void FindStart(IReadOnlyList<RunOutput> facts, IEnumerable<ReadingRow> rows)
    {
        if (facts.OfType<HeaterTurnedOn>().FirstOrDefault() is not { } on)
        {
            return;
        }

        foreach (var row in rows.Where(row => row.AtSeconds >= on.AtSeconds && row.HasSoundTemperature))
        {
            _scouting!.Read(row.AtSeconds, row.TemperatureCelsius);
        }

        _flameRules = _scouting!.Rules;
    }
}
