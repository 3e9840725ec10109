using Acquire.Core.Control;
using Acquire.Core.Methods;
using Acquire.Core.Readings;
using Acquire.Core.Runs;

namespace Acquire.Core.Tests.Control;

/// <summary>A tester that keeps to the contract, by hand: takes commands with growing numbers, obeys each for its lifetime, and tells which one it obeys.</summary>
internal sealed class DrivenTester
{
    private double _takenAt;

    public DrivenTester(double startCelsius = 60, DriveSettings? settings = null, long firstSequence = 1000, string method = "iso-2592-2017", double expectedCelsius = 220)
    {
        Celsius = startCelsius;
        Plan = new RunPlan
        {
            Method = MethodCatalog.All.Single(known => known.Id == method),
            ExpectedFlashCelsius = expectedCelsius,
            HasFlameSignal = true,
            Mode = RunMode.Driven,
        };
        Driver = Driver.Begin(Plan, settings ?? Settings, firstSequence, 0);
    }

    public static DriveSettings Settings { get; } = new() { HighestCelsius = 320 };

    public RunPlan Plan { get; }

    public Driver Driver { get; }

    public List<HeaterFact> Facts { get; } = [];

    public List<(double At, DriveCommand Command)> Sent { get; } = [];

    /// <summary>The service's clock, s; the tester's own runs 100 s ahead of it.</summary>
    public double Now { get; private set; }

    public double Celsius { get; set; }

    public DriveCommand? Taken { get; private set; }

    /// <summary>What the tester obeys now; null once the lifetime is over.</summary>
    public DriveCommand? Obeyed => Taken is { } taken && !taken.ExpiredAfter(Now - _takenAt) ? taken : null;

    public DriveCommand Newest => Sent[^1].Command;

    public bool Deaf { get; set; }

    public double? GivesFraction { get; set; }

    public double CelsiusPerSecond { get; set; }

    /// <summary>Lets time pass in steps of 0.1 s with a row each, every second one with a tick between.</summary>
    public DrivenTester Wait(double seconds, bool silent = false, Func<ReadingRow, ReadingRow>? change = null)
    {
        for (var steps = (int)Math.Round(seconds * 10); steps > 0; steps--)
        {
            Now = Math.Round(Now + 0.1, 6);
            Celsius += CelsiusPerSecond / 10;
            Send(silent ? Driver.Tick(Now, Facts) : Driver.Take(change?.Invoke(Row()) ?? Row(), Now, Facts));
        }

        return this;
    }

    public ReadingRow Row()
    {
        var row = new ReadingRow(Math.Round(100 + Now, 6), RowChannels.Temperature | RowChannels.Detector | RowChannels.Flame | RowChannels.Heater, Celsius, 0.1, Obeyed?.FlameOver ?? false)
        {
            HeaterFraction = GivesFraction ?? Obeyed?.HeaterFraction ?? 0,
        };
        return Obeyed is { } obeyed ? row with { Present = row.Present | RowChannels.Command, Command = obeyed.Sequence } : row;
    }

    public InputError? TurnOn(string person = "R. Halden") => Driver.TurnOn(person, Now, Facts);

    public void Send(DriveCommand? command)
    {
        if (command is null)
        {
            return;
        }

        Sent.Add((Now, command));
        if (!Deaf && command.Follows(Taken))
        {
            (Taken, _takenAt) = (command, Now);
        }
    }

    /// <summary>Turned on and heating.</summary>
    public DrivenTester Heated()
    {
        Wait(2);
        Xunit.Assert.Null(TurnOn());
        CelsiusPerSecond = 0.04;
        return Wait(20);
    }
}
