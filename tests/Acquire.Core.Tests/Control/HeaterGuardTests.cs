using Acquire.Core.Control;
using Acquire.Core.Readings;
using Xunit;

namespace Acquire.Core.Tests.Control;

public sealed class HeaterGuardTests
{
    private static readonly GuardLimits Limits = new() { HighestCelsius = 280 };

    private readonly GuardState _guard = HeaterGuard.Begin();

    private void On(double celsius = 100)
    {
        HeaterGuard.RunOpened(_guard, 0);
        Read(0, celsius);
        Assert.Null(HeaterGuard.Rearm(_guard, Limits, 0, "A. Bench"));
    }

    private void Read(double seconds, double celsius, ReadingMarks marks = ReadingMarks.None) => HeaterGuard.Reading(_guard, Limits, seconds, celsius, marks);

    private double Give(double seconds, double fraction = 0.4) => HeaterGuard.Decide(_guard, Limits, seconds, fraction);

    private void Off(string code, double seconds)
    {
        Assert.Contains(_guard.Trips, trip => trip.Code == code);
        Assert.All(_guard.Trips, trip => Assert.EndsWith(HeaterTrip.Caution, trip.Text, StringComparison.Ordinal));
        Assert.Equal(0, Give(seconds));
        Assert.False(_guard.Armed);
    }

    [Fact]
    public void A_new_guard_is_off_until_the_run_is_open_and_a_person_has_turned_the_heater_on()
    {
        Off(TripCodes.RunNotOpen, 0);
        Read(1, 25);
        Assert.Equal("no run is open", HeaterGuard.Rearm(_guard, Limits, 1, "A. Bench")!.Message);
        HeaterGuard.RunOpened(_guard, 1);
        Assert.Equal(0, Give(1));
        Assert.Equal("person", HeaterGuard.Rearm(_guard, Limits, 1, " ")!.Path);
        Assert.Null(HeaterGuard.Rearm(_guard, Limits, 1, "A. Bench"));
        Assert.Equal(0.4, Give(1));
        Assert.Equal("A. Bench", _guard.ArmedBy);
        Assert.Equal((1.0, 0.0), (Give(1.1, 7), Give(1.2, -3)));
    }

    [Fact]
    public void A_reading_above_the_limit_turns_it_off_and_only_5_degrees_below_it_may_go_on_again()
    {
        On();
        Read(1, 280);
        Assert.Equal(0.4, Give(1));
        Read(1.5, 280.1);
        Off(TripCodes.OverTemperature, 1.5);
        Read(2, 276);
        Assert.Contains("wait until it is below 275.0 °C", HeaterGuard.Rearm(_guard, Limits, 2, "A. Bench")!.Message, StringComparison.Ordinal);
        Read(3, 274.9);
        Assert.Equal(0, Give(3));
        Assert.Null(HeaterGuard.Rearm(_guard, Limits, 3, "A. Bench"));
        Assert.Equal(0.4, Give(3));
    }

    [Fact]
    public void Two_seconds_without_a_sound_reading_turn_it_off()
    {
        On();
        Assert.Equal(0.4, Give(2));
        Off(TripCodes.ReadingSilent, 2.01 + Give(2.01));
        Assert.Contains("no sound thermometer reading within 2.0 s", HeaterGuard.Rearm(_guard, Limits, 2.1, "A. Bench")!.Message, StringComparison.Ordinal);

        // A reading that comes late does not excuse the silence before it, and an old one is not fresh.
        Read(2.2, 101);
        Off(TripCodes.ReadingSilent, 2.2);
        Assert.Null(HeaterGuard.Rearm(_guard, Limits, 2.2, "A. Bench"));
        Give(4);
        Read(1, 101);
        Give(4.3);
        Off(TripCodes.ReadingSilent, 4.3);
    }

    [Fact]
    public void A_clock_that_goes_back_turns_it_off_whatever_the_readings_say()
    {
        // Counted on a clock that was set back, two seconds of silence would last a thousand.
        On();
        Assert.Equal(0.4, Give(1.5));
        HeaterGuard.Tick(_guard, Limits, -1000);
        Assert.Equal(0, Give(1.6));
        Assert.Contains(_guard.Trips, trip => trip.Code == TripCodes.ProgramFault);
    }

    [Theory]
    [InlineData(ReadingMarks.OpenCircuit, 50, "open-circuit")]
    [InlineData(ReadingMarks.Stuck | ReadingMarks.OutsideCalibration, 50, "stuck")]
    [InlineData(ReadingMarks.None, double.NaN, "not a number")]
    public void Three_bad_readings_in_a_row_turn_it_off(ReadingMarks marks, double celsius, string word)
    {
        On();
        Read(0.1, celsius, marks);
        Read(0.2, celsius, marks);
        Assert.Equal(0.4, Give(0.2));
        Read(0.3, 100, ReadingMarks.OutsideCalibration | ReadingMarks.StepTaken | ReadingMarks.LagUncorrected);
        for (var i = 4; i < 7; i++)
        {
            Read(i / 10.0, celsius, marks);
        }

        Off(TripCodes.ReadingBad, 0.6);
        Assert.Contains(word, _guard.Trips[0].Text, StringComparison.Ordinal);
        Assert.Equal("the newest thermometer reading is bad", HeaterGuard.Rearm(_guard, Limits, 0.6, "A. Bench")!.Message);
        Read(0.7, 100);
        Assert.Null(HeaterGuard.Rearm(_guard, Limits, 0.7, "A. Bench"));
    }

    [Fact]
    public void Power_without_a_rise_turns_it_off()
    {
        On();
        var seconds = Heat(200, _ => 100);
        Assert.Empty(_guard.Trips);
        seconds = Heat(35, at => 100 + (at / 30), seconds);
        Assert.Empty(_guard.Trips);

        // What is in the cup is warmed no more.
        Heat(250, _ => 101, seconds);
        Off(TripCodes.NoRise, 490);
        Read(491, 101);
        Assert.Null(HeaterGuard.Rearm(_guard, Limits, 491, "A. Bench"));
        Assert.Equal(0.4, Give(491));
    }

    [Fact]
    public void A_cup_that_cools_because_its_power_was_cut_is_no_fall_and_one_that_cools_under_power_is()
    {
        On();
        var seconds = Heat(300, at => 100 + (at / 3));

        // Cut from 40 %: the stored heat lasts for 20 s, then the cup cools with a time constant of 300 s; then it is held 25 °C lower.
        seconds = Heat(20, _ => 200, seconds, 0);
        seconds = Heat(45, at => 20 + (180 * Math.Exp(-at / 300)), seconds, 0);
        seconds = Heat(60, _ => 175, seconds, 0.1);
        seconds = Heat(120, at => 175 + (at / 10), seconds);
        Assert.Empty(_guard.Trips);

        seconds = Heat(45, at => 20 + (167 * Math.Exp(-at / 300)), seconds);
        Off(TripCodes.ReadingFell, seconds);
    }

    [Fact]
    public void A_slow_ramp_and_a_heater_that_is_hardly_on_are_no_missing_rise()
    {
        On();
        var seconds = Heat(2000, at => 100 + (at / 120));
        Heat(2000, _ => 117, seconds, 0.004);
        Assert.Empty(_guard.Trips);
    }

    [Fact]
    public void A_rise_long_after_the_heater_was_on_is_a_relay_that_sticks()
    {
        On();
        var seconds = Heat(120, at => 100 + (at / 4));

        // Stored heat passes into the test portion: no alarm.
        seconds = Heat(235, at => 145 - (15 * Math.Exp(-at / 80)), seconds, 0);
        Assert.Empty(_guard.Trips);
        Heat(245, at => 145 + (at / 30), seconds, 0);
        Off(TripCodes.RiseWithoutPower, 601);
        Assert.Contains("relay", HeaterGuard.Rearm(_guard, Limits, 601, "A. Bench")!.Message, StringComparison.Ordinal);
        Heat(70, _ => 153, 601, 0);
        Assert.Null(HeaterGuard.Rearm(_guard, Limits, 671, "A. Bench"));
    }

    [Fact]
    public void A_thermometer_put_into_a_warm_test_portion_and_a_cold_one_that_warms_up_are_no_relay()
    {
        HeaterGuard.RunOpened(_guard, 0);
        var seconds = Heat(600, at => 90 - (67 * Math.Exp(-at / 20)), 0, 0);
        Assert.DoesNotContain(_guard.Trips, trip => trip.Code == TripCodes.RiseWithoutPower);
        Heat(600, at => -20 + (at / 15), seconds, 0);
        Assert.DoesNotContain(_guard.Trips, trip => trip.Code == TripCodes.RiseWithoutPower);
    }

    [Fact]
    public void A_stop_a_fault_and_a_closed_run_hold_until_a_person_decides()
    {
        On();
        HeaterGuard.Stop(_guard, 1);
        Off(TripCodes.OperatorStop, 1);
        HeaterGuard.Fault(_guard, 1, "the lane ended");
        Off(TripCodes.ProgramFault, 1);
        Assert.Null(HeaterGuard.Rearm(_guard, Limits, 1, "A. Bench"));
        Assert.Equal(0, HeaterGuard.Decide(_guard, Limits, 1.1, double.NaN));
        Off(TripCodes.ProgramFault, 1.2);
        Assert.Null(HeaterGuard.Rearm(_guard, Limits, 1.3, "A. Bench"));
        HeaterGuard.Tick(_guard, Limits, double.NaN);
        Off(TripCodes.ProgramFault, 1.4);
        Assert.Null(HeaterGuard.Rearm(_guard, Limits, 1.4, "A. Bench"));
        HeaterGuard.RunClosed(_guard, 1.5);
        Off(TripCodes.RunNotOpen, 1.5);
        Assert.Equal("no run is open", HeaterGuard.Rearm(_guard, Limits, 1.5, "A. Bench")!.Message);
    }

    [Fact]
    public void A_guard_that_was_kept_comes_back_off()
    {
        On();
        Assert.Equal(0.4, Give(0.5));
        var again = Kept.Again(_guard);

        Assert.Equal(TripCodes.Resumed, Assert.Single(again.Trips).Code);
        Assert.Equal(0, HeaterGuard.Decide(again, Limits, 0.6, 1));
        Assert.Null(HeaterGuard.Rearm(again, Limits, 0.7, "A. Bench"));
        Assert.Equal(1, HeaterGuard.Decide(again, Limits, 0.8, 1));
        Kept.EveryMember(typeof(GuardState), nameof(GuardState.Armed), nameof(GuardState.Given));
    }

    [Fact]
    public void The_limits_of_a_run_are_the_lower_of_flash_and_tester_and_are_checked()
    {
        var plan = new CupDraw(1, CupKind.SlowBath, Knowledge.None).Plan;
        Assert.Equal(110, GuardLimits.For(plan, 50, 60, 300).HighestCelsius);
        Assert.Equal(300, GuardLimits.For(plan, 260, 60, 300).HighestCelsius);
        Assert.Equal(420, GuardLimits.For(plan, 50, 60, 300).NoRiseSeconds);
        Assert.Empty(GuardLimits.For(plan, 50, 60, 300).Check("guard"));
        var wrong = new GuardLimits { HighestCelsius = double.NaN, SilentSeconds = 0, BadReadings = 0, NoRiseSeconds = 1, CoastSeconds = 1, RiseCelsius = 0, WarmsByItselfCelsius = 0 };
        Assert.Equal(7, wrong.Check("guard").Count);
    }

    private double Heat(double duration, Func<double, double> celsius, double from = 0, double fraction = 0.4)
    {
        for (var at = 0.5; at <= duration; at += 0.5)
        {
            Read(from + at, celsius(at));
            Give(from + at, fraction);
        }

        return from + duration;
    }

    // m·c·ΔT = P·t (textbook): 700 W warm 525 J/K by 60 °C in 45 s; at half power in 90 s.
    [Theory]
    [InlineData(1.0, 45)]
    [InlineData(0.5, 90)]
    public void Heat_that_does_not_show_at_the_thermometer_is_limited_where_heater_and_cup_are_known(double power, double seconds)
    {
        var plan = new CupDraw(1, CupKind.SlowBath, Knowledge.None).Plan;
        var limits = GuardLimits.For(plan, 50, 60, 300, model: new() { MaxPowerWatts = 700, ThermalCapacityJoulesPerKelvin = 525 });
        var guard = HeaterGuard.Begin();
        HeaterGuard.RunOpened(guard, 0);
        HeaterGuard.Reading(guard, limits, 0, 20, default);
        Assert.Null(HeaterGuard.Rearm(guard, limits, 0, "A. Bench"));
        double tripped = 0;
        for (var at = 0.1; tripped == 0 && at < 400; at += 0.1)
        {
            HeaterGuard.Reading(guard, limits, at, 20.4, default);
            HeaterGuard.Decide(guard, limits, at, power);
            tripped = guard.Trips.Count > 0 ? at : 0;
        }

        Assert.Equal(TripCodes.NoRise, Assert.Single(guard.Trips).Code);
        Assert.Equal(seconds, tripped, 0.5);
        Assert.Equal(double.PositiveInfinity, GuardLimits.For(plan, 50, 60, 300).NoRiseFullPowerSeconds);
    }
}
