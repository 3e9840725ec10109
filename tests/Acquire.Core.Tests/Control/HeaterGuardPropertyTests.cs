using Acquire.Core.Control;
using Acquire.Core.Readings;
using Acquire.Core.Tests.Traces;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Control;

/// <summary>Whatever happens in whatever order: never power while tripped, never after a stop before a person decides, never a power that is no number.</summary>
public sealed class HeaterGuardPropertyTests
{
    private static readonly GuardLimits Limits = new() { HighestCelsius = 280 };

    private enum Happening
    {
        Reading,
        BadReading,
        Tick,
        Fault,
        Stop,
        Resume,
        Open,
        Close,
        Rearm,
    }

    private sealed record Event(Happening Happening, double Step, double Celsius, double Wanted);

    private static readonly Gen<double> Hostile = Gen.OneOf(Gen.Double[-2, 2], Gen.Double, Pick.From(double.NaN, double.PositiveInfinity, double.NegativeInfinity));

    private static readonly Gen<Event> Events =
        from happening in Gen.Frequency(
            (6, Gen.Const(Happening.Reading)), (1, Gen.Const(Happening.BadReading)), (3, Gen.Const(Happening.Tick)), (1, Gen.Const(Happening.Fault)),
            (1, Gen.Const(Happening.Stop)), (1, Gen.Const(Happening.Resume)), (2, Gen.Const(Happening.Open)), (1, Gen.Const(Happening.Close)), (5, Gen.Const(Happening.Rearm)))
        from step in Gen.Frequency((9, Gen.Double[0, 1]), (1, Gen.OneOf(Gen.Double[-5, 60], Hostile)))
        from celsius in Gen.Frequency((9, Gen.Double[20, 270]), (1, Gen.OneOf(Gen.Double[270, 400], Hostile)))
        from wanted in Gen.Frequency((9, Gen.Double[0, 1]), (1, Hostile))
        select new Event(happening, step, celsius, wanted);

    [Fact]
    public void No_order_of_readings_faults_and_resumes_lets_power_through_against_the_rules()
    {
        var powered = 0;
        Events.Array[1, 150].Sample(
            events =>
            {
                var guard = HeaterGuard.Begin();
                var (seconds, open, decided, soundAt) = (0.0, false, false, double.NegativeInfinity);
                foreach (var e in events)
                {
                    seconds += e.Step;
                    guard = Happen(guard, e, seconds, out var armed);
                    open = e.Happening switch { Happening.Open => true, Happening.Close => false, _ => open };
                    decided = e.Happening is not (Happening.Stop or Happening.Fault or Happening.Resume or Happening.Close) && (armed || decided);
                    soundAt = e.Happening == Happening.Reading && double.IsFinite(e.Celsius) && double.IsFinite(seconds) ? Math.Max(soundAt, seconds) : soundAt;
                    var tripped = guard.Trips.Count > 0;
                    var given = HeaterGuard.Decide(guard, Limits, seconds, e.Wanted);

                    Assert.InRange(given, 0, 1);
                    Assert.True(given == 0 || (!tripped && guard.Trips.Count == 0 && open && decided && double.IsFinite(e.Wanted) && guard.AtSeconds - soundAt <= 2), $"{given} after {e}");
                    if (given > 0)
                    {
                        Interlocked.Increment(ref powered);
                    }
                    else if (guard.Trips.Count > 0)
                    {
                        decided = false;
                    }

                    seconds = double.IsFinite(seconds) && Math.Abs(seconds) < 1e9 ? Math.Max(seconds, guard.AtSeconds) : guard.AtSeconds;
                }
            },
            iter: 5000);
        Assert.True(powered > 5000, $"the heater was on only {powered} times: nothing was tested");
    }

    private static GuardState Happen(GuardState guard, Event e, double seconds, out bool armed)
    {
        armed = false;
        switch (e.Happening)
        {
            case Happening.Reading:
                HeaterGuard.Reading(guard, Limits, seconds, e.Celsius, ReadingMarks.None);
                break;
            case Happening.BadReading:
                HeaterGuard.Reading(guard, Limits, seconds, e.Celsius, ReadingMarks.Stuck);
                break;
            case Happening.Tick:
                HeaterGuard.Tick(guard, Limits, seconds);
                break;
            case Happening.Fault:
                HeaterGuard.Fault(guard, seconds, "a test");
                break;
            case Happening.Stop:
                HeaterGuard.Stop(guard, seconds);
                break;
            case Happening.Resume:
                return Kept.Again(guard);
            case Happening.Open:
                HeaterGuard.RunOpened(guard, seconds);
                break;
            case Happening.Close:
                HeaterGuard.RunClosed(guard, seconds);
                break;
            case Happening.Rearm:
                armed = HeaterGuard.Rearm(guard, Limits, seconds, "A. Bench") is null;
                break;
        }

        return guard;
    }
}
