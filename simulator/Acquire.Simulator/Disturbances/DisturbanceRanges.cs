using System.Globalization;
using Acquire.Core;

namespace Acquire.Simulator;

/// <summary>Which disturbances a run can have.</summary>
internal static class DisturbanceRanges
{
    /// <summary>More would only make a run slow.</summary>
    public const int Most = 50;

    public static IEnumerable<InputError> Check(SimulatorOptions options)
    {
        var all = options.Disturbances;
        if (all.Count > Most)
        {
            return [new("disturbances", $"{all.Count} disturbances are more than {Most}")];
        }

        return all.SelectMany((one, index) => CheckOne(one, string.Create(CultureInfo.InvariantCulture, $"disturbances[{index}]")));
    }

    private static IEnumerable<InputError> CheckOne(Disturbance one, string path)
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

        if (!(one.From is >= 0 and <= SimulatedFault.LongestSeconds))
        {
            yield return new(path + ".startSeconds", Show($"{one.StartSeconds} is not within 0 to {SimulatedFault.LongestSeconds}"));
        }

        if (!(one.LengthSeconds is null or (>= 0.001 and <= SimulatedFault.LongestSeconds)))
        {
            yield return new(path + ".lengthSeconds", Show($"{one.LengthSeconds} is not within 0.001 to {SimulatedFault.LongestSeconds}"));
        }
    }

    private static string Show(FormattableString text) => FormattableString.Invariant(text);
}
