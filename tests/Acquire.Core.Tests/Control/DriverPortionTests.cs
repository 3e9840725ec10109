using Acquire.Core.Alarms;
using Acquire.Core.Control;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Control;

/// <summary>What a driver does with a block and its portions, told fact by fact.</summary>
public sealed class DriverPortionTests
{
    private const double Set = 80, WaitSeconds = 60;

    private static DrivenTester Kept()
    {
        var tester = new DrivenTester(startCelsius: Set, method: "iso-3679-2022-b", expectedCelsius: Set).Wait(2);
        tester.Driver.Note(new TemperatureSet(tester.Row().AtSeconds, 1, Set));
        Assert.Null(tester.TurnOn());
        return tester.Wait(5);
    }

    private static PortionCharged Charged(DrivenTester tester) => new(tester.Row().AtSeconds, tester.Row().AtSeconds, 2, null);

    private static FindingRaised Found(DrivenTester tester, string code) =>
        new(tester.Row().AtSeconds, new(code, FindingWeight.Note, tester.Row().AtSeconds, Set, null, null, "found"));

    /// <summary>When the flame was over the cup by command: from, to, s of the service's clock.</summary>
    private static List<(double From, double To)> Passes(DrivenTester tester)
    {
        var passes = new List<(double From, double To)>();
        double? since = null;
        foreach (var (at, command) in tester.Sent)
        {
            if (since is { } from && !command.FlameOver)
            {
                passes.Add((from, at));
                since = null;
            }

            since = command.FlameOver ? since ?? at : since;
        }

        return passes;
    }

    [Fact]
    public void Each_portion_gets_one_application_when_it_has_waited_and_within_the_time_of_the_shutter()
    {
        var tester = Kept().Wait(100);
        Assert.Empty(Passes(tester));

        var charged = tester.Now;
        tester.Driver.Note(Charged(tester));
        tester.Wait(200);
        tester.Driver.Note(Charged(tester));
        var again = tester.Now;
        tester.Wait(200);

        var passes = Passes(tester);
        Assert.Equal(2, passes.Count);
        Assert.Equal(charged + WaitSeconds, passes[0].From, 0.4);
        Assert.Equal(again + WaitSeconds, passes[1].From, 0.4);
        Assert.All(passes, pass => Assert.InRange(pass.To - pass.From, 1, 2.5));
    }

    [Theory]
    [InlineData("two")]
    [InlineData("hot")]
    [InlineData("volume")]
    [InlineData("tested")]
    [InlineData("above")]
    [InlineData("off")]
    [InlineData("burning")]
    public void No_flame_comes_over_a_portion_that_must_not_have_it(string what)
    {
        var tester = Kept();
        tester.Driver.Note(Charged(tester));
        tester.Wait(30);
        switch (what)
        {
            case "two":
                // The first was given up: only the second is due, from its own charging on.
                tester.Driver.Note(Charged(tester));
                break;
            case "hot" or "volume":
                tester.Driver.Note(Found(tester, what == "hot" ? FindingCodes.ChargedTooHot : FindingCodes.PortionVolume));
                break;
            case "tested":
                tester.Driver.Note(new PortionTested(tester.Row().AtSeconds, new(1, Set, 2, 0, 1, Set, PortionOutcome.NoFlash, null)));
                break;
            case "above":
                tester.Celsius = Set + 0.6;
                break;
            case "off":
                tester.Send(tester.Driver.TurnOff(tester.Now, tester.Facts));
                break;
            default:
                tester.Driver.Note(new AlarmRaised(1, AlarmCodes.SpecimenBurning, "burning"));
                break;
        }

        tester.Wait(what == "two" ? 55 : 40);
        Assert.Empty(Passes(tester));

        // Whoever turns the heater on again is not met by a flame for a portion that has waited too long.
        tester.Driver.Note(new AlarmCleared(1, AlarmCodes.SpecimenBurning));
        tester.Celsius = Set;
        Assert.Null(tester.TurnOn());
        Assert.Equal(what == "two" ? 1 : 0, Passes(tester.Wait(40)).Count);
    }

    [Fact]
    public void The_flame_goes_away_at_once_when_the_specimen_burns_and_when_the_heater_is_turned_off()
    {
        foreach (var burns in (bool[])[true, false])
        {
            var tester = Kept();
            tester.Driver.Note(Charged(tester));
            tester.Wait(WaitSeconds + 0.5);
            Assert.True(tester.Driver.FlameOver);

            if (burns)
            {
                tester.Driver.Note(new AlarmRaised(1, AlarmCodes.SpecimenBurning, "burning"));
                tester.Wait(0.1);
            }
            else
            {
                tester.Send(tester.Driver.TurnOff(tester.Now, tester.Facts));
            }

            Assert.False(tester.Newest.FlameOver);
        }
    }

    [Fact]
    public void A_block_that_keeps_its_temperature_for_an_hour_trips_nothing_and_one_far_above_it_does()
    {
        var tester = Kept().Wait(3600);
        Assert.True(tester.Driver.IsOn);
        Assert.Equal(Set + 20, tester.Driver.HighestCelsius);

        tester.Celsius = Set + 20.5;
        tester.Wait(0.2);

        Assert.Equal([TripCodes.OverTemperature], tester.Driver.Trips.Select(trip => trip.Code));
    }

    [Fact]
    public void A_temperature_beyond_the_tester_or_the_scope_is_not_heated_to_and_is_told()
    {
        foreach (var (highest, wanted, limit) in ((double, double, string)[])[(120, 115, "120"), (500, 305, "300")])
        {
            var tester = new DrivenTester(startCelsius: Set, settings: new() { HighestCelsius = highest }, method: "iso-3679-2022-b", expectedCelsius: Set).Wait(2);
            tester.Driver.Note(new TemperatureSet(tester.Row().AtSeconds, 1, Set));
            Assert.Null(tester.TurnOn());
            tester.Wait(2);

            tester.Driver.Note(new TemperatureSet(tester.Row().AtSeconds, 2, wanted));
            tester.Wait(0.1);

            Assert.Contains(limit, Assert.Single(tester.Facts.OfType<HeaterCut>(), cut => cut.Code == TripCodes.SetTooHigh).Text, StringComparison.Ordinal);
            Assert.Contains("wanted", tester.TurnOn()!.Message, StringComparison.Ordinal);
            Assert.Equal(0, tester.Newest.HeaterFraction);
        }
    }

    [Fact]
    public void The_end_of_the_search_ends_the_heating_for_good()
    {
        var tester = Kept();

        tester.Driver.Note(new PhaseChanged(1, RunPhase.ApplyingTestFlame, RunPhase.Cooling, Set));
        tester.Wait(0.1);

        Assert.Equal([TripCodes.ResultComplete], tester.Driver.Trips.Select(trip => trip.Code));
        Assert.Contains("complete", tester.Wait(1).TurnOn()!.Message, StringComparison.Ordinal);
    }

    private enum Act
    {
        Wait,
        WaitLong,
        Charge,
        Spoil,
        Test,
        SetHigher,
        SetLower,
        Burn,
        GoOut,
        TurnOn,
        TurnOff,
        Silence,
        Hot,
        End,
    }

    private static readonly Gen<(Act Act, double Seconds)[]> Acts = Gen.Select(
        Gen.Int[0, 9].SelectMany(often => often < 7 ? Pick.From([Act.Wait, Act.WaitLong, Act.Charge, Act.TurnOn]) : Pick.From(Enum.GetValues<Act>())),
        Gen.Double[0.1, 40]).Array[1, 40];

    [Fact]
    public void Whatever_happens_there_are_never_more_applications_than_portions_none_is_long_and_nothing_heats_that_must_not()
    {
        var (flamed, heated) = (0, 0);
        Acts.Sample(acts =>
        {
            var tester = Kept();
            var (portions, ended, set) = (0, false, Set);
            foreach (var (act, seconds) in acts)
            {
                var at = tester.Row().AtSeconds;
                switch (act)
                {
                    case Act.Charge:
                        portions++;
                        tester.Driver.Note(Charged(tester));
                        break;
                    case Act.Spoil:
                        tester.Driver.Note(Found(tester, FindingCodes.ChargedTooHot));
                        break;
                    case Act.Test:
                        tester.Driver.Note(new PortionTested(at, new(1, set, 2, 0, 1, set, PortionOutcome.NoFlash, null)));
                        break;
                    case Act.SetHigher or Act.SetLower:
                        set += act == Act.SetHigher ? 5 : -5;
                        tester.Celsius = set;
                        tester.Driver.Note(new TemperatureSet(at, 2, set));
                        break;
                    case Act.Burn:
                        tester.Driver.Note(new AlarmRaised(at, AlarmCodes.SpecimenBurning, "burning"));
                        break;
                    case Act.GoOut:
                        tester.Driver.Note(new AlarmCleared(at, AlarmCodes.SpecimenBurning));
                        break;
                    case Act.TurnOn:
                        tester.TurnOn();
                        break;
                    case Act.TurnOff:
                        tester.Send(tester.Driver.TurnOff(tester.Now, tester.Facts));
                        break;
                    case Act.End:
                        ended = true;
                        tester.Driver.Note(new PhaseChanged(at, RunPhase.ApplyingTestFlame, RunPhase.Cooling, set));
                        break;
                    case Act.Hot:
                        tester.Celsius = set + 30;
                        tester.Wait(0.2);
                        tester.Celsius = set;
                        break;
                    default:
                        break;
                }

                // What is noted is acted on with the next reading or tick, so one at least has to come.
                tester.Wait(Math.Max(0.1, act == Act.WaitLong ? seconds * 2 : seconds / 10), silent: act == Act.Silence);
                Assert.True(tester.Driver.IsOn || tester.Newest.IsSafe);
                Assert.False(ended && tester.Driver.IsOn);
                Assert.True(Passes(tester).Count <= portions);
            }

            Assert.All(Passes(tester), pass => Assert.InRange(pass.To - pass.From, 0, 2.6));
            Interlocked.Add(ref flamed, Passes(tester).Count);
            Interlocked.Add(ref heated, tester.Sent.Count(sent => sent.Command.HeaterFraction > 0));
        }, iter: 150);

        // It would hold of a driver that never does anything, too.
        Assert.True(flamed > 20 && heated > 1000, $"{flamed} applications, {heated} commands with heat");
    }
}
