using Acquire.Core;
using Acquire.Core.Control;

namespace Acquire.Simulator;

/// <summary>A determination on a driven tester, all of it in this process and in simulated time.</summary>
public sealed record DrivenRunOptions
{
    /// <summary>The tester with its specimen. The heater is turned on after its lead-in, and its cooling is recorded after the heater has gone off.</summary>
    public required DrivenOptions Tester { get; init; }

    /// <summary>How the tester is driven.</summary>
    public required DriveSettings Settings { get; init; }

    /// <summary>From a reading to its arrival, and from a command to its arrival, s, 0 to 1.</summary>
    public double WireSeconds { get; init; } = 0.05;

    /// <summary>The usual settings for a tester, whose laboratory has measured it: its highest temperature leaves room for what the method needs, wherever in its scope the flash point lies where nobody knows it.</summary>
    public static DrivenRunOptions For(DrivenOptions tester)
    {
        ArgumentNullException.ThrowIfNull(tester);
        return new()
        {
            Tester = tester,
            Settings = new()
            {
                HighestCelsius = Math.Clamp((tester.Run.Scouting || tester.Run.IsEquilibrium ? tester.Run.Method.FlashScopeCelsius.To : tester.Run.Expected) + 80, DriveSettings.HighestRangeCelsius.From, DriveSettings.HighestRangeCelsius.To),
                ReactionSeconds = tester.ReactionSeconds,
                Heater = tester.Plant.Described(tester.Run),
            },
        };
    }

    /// <summary>What is out of range, option by option.</summary>
    public IReadOnlyList<InputError> Check()
    {
        var errors = new List<InputError>([.. Tester.Check(), .. Settings.Check("drive")]);
        DrivenPlant.Within(errors, "wireSeconds", WireSeconds, 0, 1);
        return errors;
    }
}
