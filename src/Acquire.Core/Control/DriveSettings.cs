using Acquire.Core.Methods;

namespace Acquire.Core.Control;

/// <summary>What is fixed about driving a tester: how long a command holds, how hot it may ever get, what is known of its heater.</summary>
public sealed record DriveSettings
{
    /// <summary>What a tester's highest temperature may be, °C.</summary>
    public static readonly ValueRange HighestRangeCelsius = new(40, 500);

    /// <summary>What the allowance above the expected flash point may be, °C.</summary>
    public static readonly ValueRange AllowanceRangeCelsius = new(5, 150);

    /// <summary>What the flame's reaction time may be, s.</summary>
    public static readonly ValueRange ReactionRangeSeconds = new(0, 5);

    /// <summary>The allowance where none is given, °C.</summary>
    public const double UsualAllowanceCelsius = 60;

    /// <summary>The reaction time where none is given, s.</summary>
    public const double UsualReactionSeconds = 0.2;

    /// <summary>Lifetime of each command, ms; 300 to 10,000.</summary>
    public int LifetimeMilliseconds { get; init; } = DriveCommand.DefaultLifetimeMilliseconds;

    /// <summary>What the tester may ever reach, °C; 40 to 500.</summary>
    public required double HighestCelsius { get; init; }

    /// <summary>How far above the expected flash point the reading may go, °C: room for the fire point; 5 to 150.</summary>
    public double AllowanceCelsius { get; init; } = UsualAllowanceCelsius;

    /// <summary>From the command until the test flame is over the cup, s; 0 to 5.</summary>
    public double ReactionSeconds { get; init; } = UsualReactionSeconds;

    /// <summary>What is known of the heater beforehand.</summary>
    public HeaterModel Heater { get; init; } = HeaterModel.Unknown;

    /// <summary>What is wrong with the figures; empty where nothing is.</summary>
    /// <param name="path">Where they came from, such as `testers[2].drive`.</param>
    public IReadOnlyList<InputError> Check(string path)
    {
        var errors = new List<InputError>();
        HeaterModel.Within(errors, path + ".lifetimeMilliseconds", LifetimeMilliseconds, DriveCommand.ShortestLifetimeMilliseconds, DriveCommand.LongestLifetimeMilliseconds);
        HeaterModel.Within(errors, path + ".highestCelsius", HighestCelsius, HighestRangeCelsius.From, HighestRangeCelsius.To);
        HeaterModel.Within(errors, path + ".allowanceCelsius", AllowanceCelsius, AllowanceRangeCelsius.From, AllowanceRangeCelsius.To);
        HeaterModel.Within(errors, path + ".reactionSeconds", ReactionSeconds, ReactionRangeSeconds.From, ReactionRangeSeconds.To);
        errors.AddRange(Heater.Check(path + ".heater"));
        return errors;
    }
}
