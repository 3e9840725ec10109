using Acquire.Core.Control;
using Acquire.Core.Readings;
using Acquire.Service.Lanes.Driving;

namespace Acquire.Service.Tests.Lanes.Driving;

/// <summary>The tester at the other end of an outlet: takes every command and tells in its rows which one it obeys.</summary>
internal sealed class WireTester
{
    private readonly List<DriveCommand> _taken = [];
    private readonly Lock _lock = new();

    public WireTester(DriveOutlet outlet, CancellationToken cancelled) => _ = Task.Run(
        async () =>
        {
            while (!cancelled.IsCancellationRequested)
            {
                var command = await outlet.NextAsync(cancelled);
                lock (_lock)
                {
                    _taken.Add(command);
                }
            }
        },
        cancelled);

    public bool Deaf { get; set; }

    public double Celsius { get; set; } = 60;

    public IReadOnlyList<DriveCommand> Taken
    {
        get
        {
            lock (_lock)
            {
                return [.. _taken];
            }
        }
    }

    public DriveCommand? Newest => Taken is [.., var newest] ? newest : null;

    public ReadingRow Row(double atSeconds)
    {
        Celsius += 0.004;
        var row = TestTester.Row(atSeconds, Celsius) with { HeaterFraction = Newest?.HeaterFraction ?? 0 };
        row = row with { Present = row.Present | RowChannels.Heater };
        return Newest is { } newest && !Deaf ? row with { Present = row.Present | RowChannels.Command, Command = newest.Sequence } : row;
    }
}
