using System.CommandLine;
using Acquire.Core;
using Acquire.Simulator;

namespace Acquire.Service.CommandLine;

/// <summary>`--situation NAME` of `acquire simulate`, and what may be given beside it.</summary>
internal sealed class SituationArgument
{
    /// <summary>What may be given with a situation: the run's seed, reading rate, pressure and further disturbances, and where it goes.</summary>
    private static readonly string[] Beside = ["--situation", "--seed", "--rows-per-second", "--pressure-kpa", "--disturb", "--hum-hertz", "--out", "--serial", "--mqtt", "--tester", "--speed"];

    private readonly Option<string?> _situation = new("--situation") { Description = $"A situation of `acquire situations list`: method, specimen, detectors and disturbances are its own. Beside it may stand {string.Join(", ", Beside.Skip(1))}; more disturbances come on top." };

    public void AddTo(Command command) => command.Add(_situation);

    /// <summary>Whether a situation is asked for.</summary>
    public bool IsGiven(ParseResult parsed) => parsed.GetValue(_situation) is not null;

    /// <summary>The run of the situation with what is given beside it.</summary>
    /// <param name="parsed">The command line.</param>
    /// <param name="given">The run as the options alone would have it: seed, pressure, rate, disturbances.</param>
    /// <param name="errors">What may not stand beside a situation, and an unknown name.</param>
    /// <param name="situation">The situation; null where there are errors.</param>
    public SimulatorOptions? Apply(ParseResult parsed, SimulatorOptions given, out IReadOnlyList<InputError> errors, out Situation? situation)
    {
        errors = [.. parsed.CommandResult.Command.Options
            .Where(option => parsed.GetResult(option) is { Implicit: false } && !Beside.Contains(option.Name))
            .Select(option => new InputError(option.Name, "is the situation's own; beside --situation may stand " + string.Join(", ", Beside.Skip(1))))];
        if (!SituationsCommand.TryFind(parsed.GetValue(_situation)!, "--situation", out situation!, out var unknown))
        {
            errors = [unknown, .. errors];
        }

        if (errors.Count > 0)
        {
            return null;
        }

        var run = situation.Options(given.Seed);
        return run with
        {
            StationPressureKilopascals = given.StationPressureKilopascals,
            RowsPerSecond = given.RowsPerSecond,
            HumHertz = given.HumHertz ?? run.HumHertz,
            Disturbances = [.. run.Disturbances, .. given.Disturbances],
        };
    }
}
