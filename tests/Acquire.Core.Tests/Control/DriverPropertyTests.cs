using Acquire.Core.Alarms;
using Acquire.Core.Control;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Control;

public sealed class DriverPropertyTests
{
    private enum Act
    {
        Heat,
        HeatLong,
        Tick,
        LongTick,
        BadRow,
        SameTime,
        FarTime,
        JumpAhead,
        ClockBack,
        NoClock,
        TurnOn,
        TurnOff,
        Fault,
        Deafen,
        Hear,
        Burn,
        GoOut,
        Complete,
        Close,
        Stuck,
    }

    // Most of the time it heats, so that there is something to be cut.
    private static readonly Gen<(Act Act, double Seconds)[]> Acts = Gen.Select(
        Gen.Int[0, 19].SelectMany(often => often < 17 ? Pick.From([Act.Heat, Act.HeatLong, Act.TurnOn, Act.Tick]) : Pick.From(Enum.GetValues<Act>())),
        Gen.Double[0.01, 3]).Array[1, 80];

    [Fact]
    public void Whatever_happens_nothing_heats_that_must_not_no_flame_stays_and_numbers_grow()
    {
        var (heated, flamed) = (0, 0);
        Acts.Sample(acts =>
        {
            var watched = new Watched();
            for (var i = 0; i < 5; i++)
            {
                watched.Do(Act.HeatLong, 3);
            }

            watched.Do(Act.TurnOn, 0);
            foreach (var (act, seconds) in acts)
            {
                watched.Do(act, seconds);
            }

            watched.CheckFlame();
            Interlocked.Add(ref heated, watched.Count(command => command.HeaterFraction > 0));
            Interlocked.Add(ref flamed, watched.Count(command => command.FlameOver));
        }, iter: 400);

        // It would hold of a driver that never does anything, too.
        Assert.True(heated > 1000 && flamed > 20, $"{heated} commands with heat, {flamed} with the flame");
    }

    private sealed class Watched
    {
        private readonly DrivenTester _tester = new(startCelsius: 195.6);
        private double _readAt, _newestTime = double.NegativeInfinity;
        private bool _mustBeOff = true, _closed;
        private int _checked;

        public int Count(Func<DriveCommand, bool> of) => _tester.Sent.Count(sent => of(sent.Command));

        private Driver Driver => _tester.Driver;

        public void Do(Act act, double seconds)
        {
            _tester.CelsiusPerSecond = 0.07;
            switch (act)
            {
                case Act.Heat or Act.HeatLong:
                    _tester.Wait(act == Act.Heat ? 0.1 : seconds, change: Sent);
                    break;
                case Act.Tick or Act.LongTick:
                    _tester.Wait(act == Act.Tick ? 0.1 : seconds, silent: true);
                    break;
                case Act.BadRow:
                    _tester.Wait(0.1, change: row => Sent(row with { Marks = ReadingMarks.Stuck }));
                    break;
                case Act.SameTime:
                    _tester.Wait(seconds, change: row => Sent(row with { AtSeconds = 101 }));
                    break;
                case Act.FarTime:
                    _tester.Wait(0.1, change: row => row with { AtSeconds = double.MaxValue });
                    break;
                case Act.JumpAhead:
                    _tester.Wait(0.1, change: row => Sent(row with { AtSeconds = row.AtSeconds + 5.5 }));
                    break;
                case Act.ClockBack:
                    _tester.Send(Driver.Tick(_tester.Now - seconds, _tester.Facts));
                    break;
                case Act.NoClock:
                    _tester.Send(Driver.Take(_tester.Row(), double.PositiveInfinity, _tester.Facts));
                    break;
                default:
                    Tell(act);
                    break;
            }

            Check();
        }

        // A reading is one where it is sound and its own time goes forward; a tester whose clock is ahead sends readings, too.
        private ReadingRow Sent(ReadingRow row)
        {
            if (row.AtSeconds > _newestTime)
            {
                _newestTime = row.AtSeconds;
                _readAt = row.Marks == ReadingMarks.None ? _tester.Now : _readAt;
            }

            return row;
        }

        private void Tell(Act act)
        {
            var (now, facts) = (_tester.Now, _tester.Facts);
            switch (act)
            {
                case Act.TurnOn:
                    _mustBeOff &= _tester.TurnOn() is not null;
                    break;
                case Act.TurnOff:
                    _tester.Send(Driver.TurnOff(now, facts));
                    _mustBeOff = true;
                    break;
                case Act.Fault:
                    _tester.Send(Driver.Fault("a test", now, facts));
                    _mustBeOff = true;
                    break;
                case Act.Deafen or Act.Hear:
                    _tester.Deaf = act == Act.Deafen;
                    break;
                case Act.Burn:
                    Driver.Note(new AlarmRaised(1, AlarmCodes.SpecimenBurning, "burning"));
                    break;
                case Act.GoOut:
                    Driver.Note(new AlarmCleared(1, AlarmCodes.SpecimenBurning));
                    break;
                case Act.Complete:
                    Driver.Note(new FireDetected(1, 1, 200));
                    _tester.Send(Driver.Tick(now, facts));
                    (_mustBeOff, _closed) = (true, true);
                    break;
                case Act.Close:
                    _tester.Send(Driver.Close(now, facts));
                    (_mustBeOff, _closed) = (true, true);
                    break;
                case Act.Stuck:
                    _tester.GivesFraction = _tester.GivesFraction is null ? 0.4 : null;
                    break;
            }
        }

        private void Check()
        {
            // A command is weighed against what was known when it went out: after an act, that is the newest.
            for (; _checked < _tester.Sent.Count; _checked++)
            {
                var command = _tester.Sent[_checked].Command;
                Assert.InRange(command.HeaterFraction, 0, 1);
                Assert.True(_checked == 0 || command.Follows(_tester.Sent[_checked - 1].Command));
                Assert.False(_mustBeOff && !command.IsSafe);
            }

            Assert.True(_tester.Newest.IsSafe || Driver.IsOn);
            Assert.False(_closed && Driver.IsOn);
            Assert.False(Driver.IsOn && Driver.Trips.Count > 0);
            Assert.False(_tester.Now - _readAt > 2.2 && _tester.Newest.HeaterFraction > 0, $"heats {_tester.Now - _readAt} s after the newest reading");
            Assert.Equal(Driver.IsOn, Driver.OnBy is not null);
            if (!Driver.IsOn)
            {
                _mustBeOff = true;
            }
        }

        /// <summary>How long the flame really was over the cup: until it was commanded away, or the newest command had expired.</summary>
        public void CheckFlame()
        {
            var pass = _tester.Plan.Rules.Applications.PassSeconds;
            double? since = null;
            var until = 0.0;
            foreach (var (at, command) in _tester.Sent)
            {
                if (since is { } over)
                {
                    Assert.True(Math.Min(at, until) - over <= pass + 1.5 + 0.2, $"the flame was over from {over} to {at} s");
                    since = at > until ? null : since;
                }

                since = command.FlameOver ? since ?? at : null;
                until = at + 1.5;
            }
        }
    }
}
