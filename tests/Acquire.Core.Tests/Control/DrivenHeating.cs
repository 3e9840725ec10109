using Acquire.Core.Control;
using Acquire.Core.Detection;
using Acquire.Core.Readings;
using Xunit;

namespace Acquire.Core.Tests.Control;

/// <summary>A heating from start to the fire point: cup, controller and guard in a loop, and what came of it.</summary>
/// <param name="Lowest">Lowest recorded rate over 30 s where it is judged, °C/min.</param>
/// <param name="Highest">Highest of them, °C/min.</param>
/// <param name="TrueWorst">Largest distance of the noise-free 30-s rate from the target there, °C/min.</param>
/// <param name="StartHighest">Highest recorded rate before, °C/min.</param>
/// <param name="SettledSeconds">When the recorded rate last entered its band, s from the start.</param>
/// <param name="Trips">Codes for which the guard turned the heater off.</param>
internal sealed record DrivenHeating(double Lowest, double Highest, double TrueWorst, double StartHighest, double SettledSeconds, IReadOnlyList<string> Trips)
{
    private const int HistorySteps = 300;

    /// <summary>Largest distance of the recorded rate from a target, °C/min.</summary>
    public double WorstFrom(double target) => Math.Max(Highest - target, target - Lowest);

    /// <summary>Heats the cup.</summary>
    /// <param name="cup">The cup.</param>
    /// <param name="judgedFromSeconds">A constant ramp is judged from here on, s; one with start heating from where its controlled band begins.</param>
    public static DrivenHeating Of(CupDraw cup, double judgedFromSeconds)
    {
        var loop = new Loop(cup, judgedFromSeconds);
        while (cup.Plant.ShownCelsius < cup.ExpectedCelsius + 30)
        {
            loop.Step();
        }

        return loop.Heating;
    }

    private sealed class Loop(CupDraw cup, double judgedFromSeconds)
    {
        private readonly RampState _ramp = RampController.Begin(cup.Model);
        private readonly GuardState _guard = Opened(cup);
        private readonly GuardLimits _limits = GuardLimits.For(cup.Plan, cup.ExpectedCelsius, 60, 450);
        private readonly RampEstimator _record = new();
        private readonly double[] _shown = new double[HistorySteps];
        private double _fraction, _heldSince = double.NaN;
        private int _steps;

        public DrivenHeating Heating { get; private set; } = new(double.MaxValue, double.MinValue, 0, 0, 0, []);

        public void Step()
        {
            _steps++;
            Assert.True(_steps < 100_000, "the cup never got there");
            cup.Plant.Step(_fraction);
            var seconds = _steps * CupPlant.StepSeconds;
            Truth(seconds);
            if (_steps % cup.StepsPerReading == 0)
            {
                Read(seconds, cup.Read());
            }
        }

        private void Truth(double seconds)
        {
            var before = _shown[_steps % HistorySteps];
            _shown[_steps % HistorySteps] = cup.Plant.ShownCelsius;
            if (seconds - _heldSince >= 30)
            {
                Heating = Heating with { TrueWorst = Math.Max(Heating.TrueWorst, Math.Abs(((cup.Plant.ShownCelsius - before) * 2) - cup.RatePerMinute)) };
            }
        }

        private void Read(double seconds, double celsius)
        {
            HeaterGuard.Reading(_guard, _limits, seconds, celsius, ReadingMarks.None);
            var wanted = RampController.Take(_ramp, cup.Plan, cup.Model, seconds, celsius, _guard.Armed);
            _fraction = HeaterGuard.Decide(_guard, _limits, seconds, wanted);
            if (_guard.Trips.Count > 0)
            {
                Heating = Heating with { Trips = [.. _guard.Trips.Select(trip => trip.Code)] };
            }

            var eased = cup.Kind is CupKind.Open or CupKind.OpenNarrowStart;
            if (double.IsNaN(_heldSince) && (eased ? celsius >= cup.Plan.ControlledFromCelsius : seconds >= judgedFromSeconds))
            {
                _heldSince = seconds;
            }

            // As in the record of a run: a window that ends in the controlled band begins there too.
            var since = double.IsNaN(_heldSince) ? double.NegativeInfinity : _heldSince;
            if (_record.Add(seconds, celsius) && _record.Fit(RampEstimator.RecordWindowSeconds, since) is { } line)
            {
                Rate(seconds, line.SlopePerSecond * 60);
            }
        }

        private void Rate(double seconds, double perMinute)
        {
            if (Math.Abs(perMinute - cup.RatePerMinute) > cup.Plan.Segments[^1].Band!.To - cup.RatePerMinute)
            {
                Heating = Heating with { SettledSeconds = seconds };
            }

            Heating = double.IsNaN(_heldSince)
                ? Heating with { StartHighest = Math.Max(Heating.StartHighest, perMinute) }
                : Heating with { Lowest = Math.Min(Heating.Lowest, perMinute), Highest = Math.Max(Heating.Highest, perMinute) };
        }

        private static GuardState Opened(CupDraw cup)
        {
            var limits = GuardLimits.For(cup.Plan, cup.ExpectedCelsius, 60, 450);
            var guard = HeaterGuard.Begin();
            HeaterGuard.RunOpened(guard, 0);
            HeaterGuard.Reading(guard, limits, 0, cup.StartCelsius, ReadingMarks.None);
            Assert.Null(HeaterGuard.Rearm(guard, limits, 0, "the test"));
            return guard;
        }
    }
}
