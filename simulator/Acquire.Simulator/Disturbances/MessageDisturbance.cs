using Acquire.Core.Readings;

namespace Acquire.Simulator;

/// <summary>What becomes of rows between the tester's electronics and whoever reads them: lost, exchanged, doubled, with a clock that jumps.</summary>
internal sealed class MessageDisturbance(SimulatorOptions options, double endSeconds)
{
    private readonly Disturbance[] jumps = options.Disturbances.Of(DisturbanceKind.ClockJump);
    private readonly MessageStretch[] stretches = [.. MessageStretch.Draw(options, endSeconds)];

    /// <summary>The rows as they are sent.</summary>
    public IEnumerable<Sending> Of(IEnumerable<ReadingRow> rows)
    {
        var sent = rows.Select(row => new Sending(row.AtSeconds, Stamped(row)));
        foreach (var kind in new[] { DisturbanceKind.Dropped, DisturbanceKind.Reordered, DisturbanceKind.Duplicated })
        {
            MessageStretch[] own = [.. stretches.Where(stretch => stretch.Kind == kind)];
            sent = own.Length > 0 ? Through(sent, own) : sent;
        }

        return sent;
    }

    /// <summary>How far the tester's clock is off at a moment, s.</summary>
    public double JumpAt(double seconds)
    {
        var jump = 0.0;
        foreach (var one in jumps)
        {
            jump += one.IsAt(seconds) ? one.StrengthOrUsual : 0;
        }

        return jump;
    }

    private ReadingRow Stamped(ReadingRow row)
    {
        var jump = JumpAt(row.AtSeconds);
        return jump == 0 ? row : row with { AtSeconds = Math.Round(row.AtSeconds + jump, 4) };
    }

    private static IEnumerable<Sending> Through(IEnumerable<Sending> rows, MessageStretch[] stretches)
    {
        var held = new List<Sending>();
        var next = 0;
        foreach (var row in rows)
        {
            if (next < stretches.Length && row.DueSeconds >= stretches[next].ToSeconds)
            {
                foreach (var late in Changed(held, stretches[next]))
                {
                    yield return late with { DueSeconds = row.DueSeconds };
                }

                held.Clear();
                while (next < stretches.Length && row.DueSeconds >= stretches[next].ToSeconds)
                {
                    next++;
                }
            }

            if (next < stretches.Length && row.DueSeconds >= stretches[next].FromSeconds)
            {
                held.Add(row);
            }
            else
            {
                yield return row;
            }
        }

        foreach (var late in next < stretches.Length ? Changed(held, stretches[next]) : [])
        {
            yield return late;
        }
    }

    private static IEnumerable<Sending> Changed(List<Sending> held, MessageStretch stretch)
    {
        var middle = (stretch.FromSeconds + stretch.ToSeconds) / 2;
        return stretch.Kind switch
        {
            DisturbanceKind.Dropped => [],
            DisturbanceKind.Duplicated => held.Concat(held),
            _ => held.Where(row => row.DueSeconds >= middle).Concat(held.Where(row => row.DueSeconds < middle)),
        };
    }
}
