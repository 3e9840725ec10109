using Acquire.Service.Lanes;
using Acquire.Service.Live;
using Acquire.Service.Sources.Modbus;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace Acquire.Service.Tests.Sources.Modbus;

public sealed class PolledTesterTests
{
    private static readonly Exchange Sound = new Exchange.Registers(ModbusSamples.Bytes("08 69 3D 00 00 00"));
    private readonly FakeTimeProvider _time = new();
    private readonly LaneInbox _inbox;
    private readonly PolledTester _tester;

    public PolledTesterTests()
    {
        _inbox = new("a", 16, _time);
        _tester = new(ModbusSamples.Tcp(more: "\"unitId\": 1, \"periodMilliseconds\": 100"), _inbox, _time);
    }

    private TesterPoll Poll => Assert.Single(_tester.Polls);

    [Fact]
    public void Row_has_the_time_half_way_between_request_and_answer()
    {
        _time.Advance(TimeSpan.FromSeconds(12));
        var sent = _tester.NowSeconds;
        _time.Advance(TimeSpan.FromMilliseconds(40));

        Assert.True(_tester.Take(Poll, Sound, sent, TestContext.Current.CancellationToken));

        var row = Assert.Single(SourceSamples.Drain(_inbox));
        Assert.Equal(12.02, row.AtSeconds, 9);
        Assert.Equal((215.3, 0.03125), (row.TemperatureCelsius, row.Detector));
    }

    [Theory]
    [InlineData(30, true, 0, 70)]
    [InlineData(30, false, 1, 70)]
    [InlineData(250, true, 2, 50)]
    [InlineData(250, false, 3, 50)]
    [InlineData(100, true, 1, 100)]
    public void Every_poll_that_was_due_and_brought_nothing_is_missed_and_the_next_keeps_the_beat(int tookMilliseconds, bool brought, int missed, int leftMilliseconds)
    {
        _time.Advance(TimeSpan.FromMilliseconds(tookMilliseconds));

        _tester.Advance(Poll, brought);

        Assert.Equal((missed, leftMilliseconds), (_inbox.Counters.Missed, Poll.Timer.Left.TotalMilliseconds));
    }

    [Fact]
    public void Polls_while_the_wire_was_away_are_missed_once_each()
    {
        for (var look = 0; look < 10; look++)
        {
            _time.Advance(TimeSpan.FromMilliseconds(170));
            _tester.CountMissed();
        }

        // Due at 0, 100, ... 1700 ms.
        Assert.Equal(18, _inbox.Counters.Missed);
    }

    [Fact]
    public void Third_silence_in_a_row_takes_the_tester_down_and_one_answer_brings_it_back()
    {
        Take(Sound);
        Take(new Exchange.Silence());
        Take(new Exchange.Silence());
        Assert.Equal(ConnectionState.Up, _inbox.Connection.State);

        Take(new Exchange.Silence());
        Assert.Equal((ConnectionState.Down, "unit 1 at 127.0.0.1:502 does not answer: check its power, its cable and source.unitId"), _inbox.Connection);
        _tester.Opened();
        Assert.Equal(ConnectionState.Down, _inbox.Connection.State);

        Take(Sound);
        Assert.Equal((ConnectionState.Up, 1L, 0L), (_inbox.Connection.State, _inbox.ConnectionsLost, _inbox.Counters.Malformed));
    }

    [Fact]
    public void Bytes_that_belong_to_nothing_are_refused_and_the_answer_counts()
    {
        Take(Sound with { ForeignBytes = 7 });

        Assert.Equal((1, 1), (_inbox.Counters.Rows, _inbox.Counters.Malformed));
        Assert.Equal("127.0.0.1:502 unit 1, holding registers 0 to 2: 7 bytes that belong to no answer: noise, or another master on the line. The answer itself was read", _inbox.LastRefusal);
    }

    private void Take(Exchange exchange) => _tester.Take(Poll, exchange, _tester.NowSeconds, TestContext.Current.CancellationToken);
}
