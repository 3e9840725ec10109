using Acquire.Core.Readings;
using Acquire.Core.Runs;

namespace Acquire.Simulator;

/// <summary>How a driven block came to its set temperatures and was kept there.</summary>
/// <param name="Count">Set temperatures that were reached.</param>
/// <param name="ShortestSeconds">From setting one until a portion could be charged, s: the shortest of them.</param>
/// <param name="LongestSeconds">The longest, s.</param>
/// <param name="WorstCelsius">Farthest from the set temperature, as read, while a portion was in the cup, °C.</param>
public sealed record HeldTemperatures(int Count, double ShortestSeconds, double LongestSeconds, double WorstCelsius)
{
    /// <summary>Follows a run.</summary>
    internal sealed class Follower
    {
        private double setAtSeconds;
        private double setCelsius = double.NaN;
        private bool reached;
        private bool portion;

        /// <summary>What came of it so far.</summary>
        public HeldTemperatures Kept { get; private set; } = new(0, double.PositiveInfinity, 0, 0);

        public void Note(RunOutput output)
        {
            switch (output)
            {
                case TemperatureSet set:
                    (setAtSeconds, setCelsius, reached, portion) = (set.AtSeconds, set.SetCelsius, false, false);
                    break;
                case PhaseChanged { To: RunPhase.AwaitingPortion } phase when !reached:
                    var took = phase.AtSeconds - setAtSeconds;
                    reached = true;
                    Kept = Kept with { Count = Kept.Count + 1, ShortestSeconds = Math.Min(Kept.ShortestSeconds, took), LongestSeconds = Math.Max(Kept.LongestSeconds, took) };
                    break;
                case PortionCharged:
                    portion = true;
                    break;
                case PortionTested:
                    portion = false;
                    break;
            }
        }

        public void Take(in ReadingRow row)
        {
            if (portion && row.HasSoundTemperature)
            {
                Kept = Kept with { WorstCelsius = Math.Max(Kept.WorstCelsius, Math.Abs(row.TemperatureCelsius - setCelsius)) };
            }
        }
    }
}
