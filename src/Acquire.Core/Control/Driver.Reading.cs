using Acquire.Core.Readings;

namespace Acquire.Core.Control;

/// <summary>What a row says of the tester, and what of the specimen.</summary>
public sealed partial class Driver
{
    // The tester's clock may jump ahead of ours by so much before the ramp is no longer what it says, s.
    private const double LargestJumpSeconds = 5;

    // Readings that come with the same time for so long tell of a clock, before their silence would be told as one of the wire, s.
    private const double FrozenSeconds = 1.5;

    // The heat in the metal, and a relay that sticks, show within this time after the run; then the cup may be handled, s.
    private const double WatchedAfterCloseSeconds = 600;

    private void Answer(in ReadingRow row, double now)
    {
        _answers.Row(row, now);
        if (row.Has(RowChannels.Heater))
        {
            _answers.Gives(row.HeaterFraction, now);
        }

        if (row.Has(RowChannels.Flame) && row.FlameOver)
        {
            _answers.FlameSeen(now);
        }
        else if (row.Has(RowChannels.Flame))
        {
            _answers.FlameIsAway();
        }
    }

    private void Read(in ReadingRow row, double now)
    {
        var bad = (row.Marks & ReadingMarks.Bad) != 0;
        if (bad && (IsForward(row, now) || !row.Has(RowChannels.Temperature)))
        {
            Guarded(double.NaN, row.Marks, now);
        }
        else if (!bad && row.Has(RowChannels.Temperature) && IsForward(row, now))
        {
            // A thermometer whose clock stands still, or comes again, says nothing about now.
            _axis.Read(row.AtSeconds, now);
            Guarded(row.TemperatureCelsius, row.Marks, now);
            if (row.HasSoundTemperature)
            {
                Lead(row.AtSeconds, row.TemperatureCelsius);
            }
        }
    }

    private void Guarded(double celsius, ReadingMarks marks, double now)
    {
        if (!(now - _closedAt > WatchedAfterCloseSeconds))
        {
            HeaterGuard.Reading(_guard, Limits, now, celsius, marks);
        }
    }

    private bool IsForward(in ReadingRow row, double now)
    {
        if (row.AtSeconds <= _readAt)
        {
            if (_guard.Armed && row.Has(RowChannels.Temperature) && now - _readNow > FrozenSeconds)
            {
                HeaterGuard.Trip(_guard, TripCodes.TesterClock, now, $"The tester's clock stands still or went back: its readings come, but their time has not gone forward for {Text.Seconds(now - _readNow)} (limit {Text.Seconds(FrozenSeconds)}). What they say of the rate is worth nothing. Check the clock of the tester; the wire works.");
            }

            return false;
        }

        var jump = row.AtSeconds - _readAt - (now - _readNow);
        if (double.IsFinite(_readAt) && jump > LargestJumpSeconds)
        {
            HeaterGuard.Trip(_guard, TripCodes.TesterClock, now, $"The tester's clock jumped ahead by {Text.Seconds(jump)} (limit {Text.Seconds(LargestJumpSeconds)}): the rate of heating cannot be told from its readings. Check the clock of the tester.");
        }

        (_readAt, _readNow) = (row.AtSeconds, now);
        return true;
    }
}
