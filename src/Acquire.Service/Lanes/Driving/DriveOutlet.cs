using System.Threading.Channels;
using Acquire.Core.Control;

namespace Acquire.Service.Lanes.Driving;

/// <summary>Where a lane puts the command for its tester and the source takes it. It holds one: the newest wins, and a wire that is stuck holds up nobody.</summary>
public sealed class DriveOutlet
{
    /// <summary>Commands that go out when the service ends: each may be lost.</summary>
    public const int LastCommands = 3;

    private readonly Channel<Posted> _newest = Channel.CreateBounded<Posted>(new BoundedChannelOptions(1) { FullMode = BoundedChannelFullMode.DropOldest });
    private readonly TimeProvider _time;
    private readonly Lock _lock = new();
    private DriveCommand? _last;
    private bool _ended;

    /// <param name="time">Clock by which a command that nobody took grows old.</param>
    public DriveOutlet(TimeProvider time) => _time = time;

    /// <summary>Puts a command in place of the one that waits. After <see cref="End"/> nothing is taken.</summary>
    public void Post(DriveCommand command)
    {
        lock (_lock)
        {
            if (!_ended)
            {
                _last = command;
                _newest.Writer.TryWrite(new(command, _time.GetTimestamp()));
            }
        }
    }

    /// <summary>Waits for the newest command. One that has waited longer than its lifetime is not given any more: what it said is over.</summary>
    public async ValueTask<DriveCommand> NextAsync(CancellationToken cancellationToken)
    {
        while (true)
        {
            var (command, posted) = await _newest.Reader.ReadAsync(cancellationToken).ConfigureAwait(false);
            if (!command.ExpiredAfter(_time.GetElapsedTime(posted).TotalSeconds))
            {
                return command;
            }
        }
    }

    /// <summary>Closes the outlet; gives the last commands, heater off and flame away, with numbers above all before. None where none was ever posted.</summary>
    public IReadOnlyList<DriveCommand> End()
    {
        lock (_lock)
        {
            _ended = true;
            return _last is not { } last ? []
                : [.. Enumerable.Range(1, LastCommands).Select(more => last with { Sequence = last.Sequence + more, HeaterFraction = 0, FlameOver = false, StirrerOn = false })];
        }
    }

    private readonly record struct Posted(DriveCommand Command, long At);
}
