using System.Globalization;
using Acquire.Core;

namespace Acquire.Simulator;

/// <summary>Which disturbances a run can have.</summary>
internal static class DisturbanceRanges
{
    /// <summary>More would only make a run slow.</summary>
    public const int Most = 50;

    // Below this a clock that jumps is one that jitters.
    private const double LeastJumpSeconds = 0.1;

    public static IEnumerable<InputError> Check(SimulatorOptions options)
    {
        var all = options.Disturbances;
        if (all.Count > Most)
        {
            return [new("disturbances", $"{all.Count} disturbances are more than {Most}")];
        }

        return all.SelectMany((one, index) => CheckOne(options, one, string.Create(CultureInfo.InvariantCulture, $"disturbances[{index}]")));
    }

    private static IEnumerable<InputError> CheckOne(SimulatorOptions options, Disturbance one, string path)
    {
        if (!Enum.IsDefined(one.Kind))
        {
            yield return new(path + ".kind", $"'{one.Kind}' is no disturbance; there are {DisturbanceFacts.AllWords}");
            yield break;
        }

        var facts = one.Facts;
        if (!(one.StrengthOrUsual >= facts.Least && one.StrengthOrUsual <= facts.Most))
        {
            yield return new(path + ".strength", facts.Strength.Length == 0
                ? Show($"'{facts.Word}' has no strength; leave it empty")
                : Show($"{one.Strength} is not within {facts.Least} to {facts.Most} ({facts.Word}: {facts.Strength})"));
        }

        if (Impossible(options, one) is { } reason)
        {
            yield return new(path, $"'{facts.Word}' {reason}");
        }

        if (!(one.From is >= 0 and <= SimulatedFault.LongestSeconds))
        {
            yield return new(path + ".startSeconds", Show($"{one.StartSeconds} is not within 0 to {SimulatedFault.LongestSeconds}"));
        }

        if (!(one.LengthSeconds is null or (>= 0.001 and <= SimulatedFault.LongestSeconds)))
        {
            yield return new(path + ".lengthSeconds", Show($"{one.LengthSeconds} is not within 0.001 to {SimulatedFault.LongestSeconds}"));
        }
    }

    // What a run of this kind cannot show.
    private static string? Impossible(SimulatorOptions options, Disturbance one) => one.Kind switch
    {
        DisturbanceKind.Foam or DisturbanceKind.WaterPopping or DisturbanceKind.HeaterOvershoot or DisturbanceKind.StuckRelay or DisturbanceKind.FlameOut or DisturbanceKind.SelfIgnition
            when options.IsEquilibrium => "is for a ramp; this method brings fresh test portions to fixed temperatures",
        DisturbanceKind.HeaterOvershoot when options.Excursion is not null => "cannot be beside an excursion",
        DisturbanceKind.ClockJump when Math.Abs(one.StrengthOrUsual) < LeastJumpSeconds => Show($"jumps by {one.StrengthOrUsual} s, which is less than {LeastJumpSeconds}"),
        _ when !one.Facts.IsTimed && (one.StartSeconds ?? one.LengthSeconds) is not null => "begins and ends by temperature; give no start and no length",
        _ => null,
    };

    private static string Show(FormattableString text) => FormattableString.Invariant(text);
}
