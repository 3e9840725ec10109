using System.CommandLine;
using System.Diagnostics.CodeAnalysis;
using Acquire.Core;
using Acquire.Core.Control;
using Acquire.Simulator;

namespace Acquire.Service.CommandLine;

/// <summary>The options of `acquire simulate` that make a driven tester.</summary>
internal sealed class DrivenArguments
{
    private readonly Option<bool> _driven = new("--driven") { Description = "A tester that obeys commands. Without a wire the whole loop of driver and tester runs in this process and says what came of it; on a wire the tester waits to be driven, until Ctrl+C." };
    private readonly Option<double?> _mass = NumberOption.Optional("--thermal-mass", "Heat capacity of a driven tester's metal, 0.25 to 4 times the usual.");
    private readonly Option<ulong?> _plant = new("--plant-seed") { Description = "Draw heater, cup, losses and lags of a driven tester at random; equal seeds give equal testers." };
    private readonly Option<bool> _unknown = new("--unknown-heater") { Description = "The driver is told nothing of the heater, not even its power." };
    private readonly Option<string[]> _faults = new("--tester-fault") { Description = $"KIND:START or KIND:START:VALUE, such as stuck-relay:600 or obeys-late:0:0.8; may be given again. Kinds: {TesterFault.AllWords}.", DefaultValueFactory = _ => [] };

    public void AddTo(Command command)
    {
        foreach (var option in new Option[] { _driven, _mass, _plant, _unknown, _faults })
        {
            command.Add(option);
        }
    }

    /// <summary>What is to be driven; false without mistakes where nothing is.</summary>
    public bool TryRead(ParseResult parsed, SimulatorOptions run, [NotNullWhen(true)] out DrivenRunOptions? options, out IReadOnlyList<InputError> errors)
    {
        (options, errors) = (null, []);
        var faults = new List<TesterFault>();
        foreach (var text in parsed.GetValue(_faults) ?? [])
        {
            if (TesterFault.TryParse(text, "--tester-fault", out var fault, out var error))
            {
                faults.Add(fault);
            }
            else
            {
                errors = [.. errors, error];
            }
        }

        if (!parsed.GetValue(_driven))
        {
            var given = new Option[] { _mass, _plant, _unknown, _faults }.Where(option => parsed.GetResult(option) is { Implicit: false });
            errors = [.. errors, .. given.Select(option => new InputError(option.Name, "is for a driven tester only; give --driven too"))];
            return false;
        }

        if (errors.Count > 0 || run.Check().Count > 0)
        {
            // What is wrong with the run itself is told first: a tester can only be made for one that can be.
            errors = [.. errors, .. run.Check().Select(SimulateCommand.AsOption)];
            return false;
        }

        options = DrivenRunOptions.For(Tester(parsed, run) with { Faults = faults });
        options = parsed.GetValue(_unknown) ? options with { Settings = options.Settings with { Heater = HeaterModel.Unknown } } : options;
        return true;
    }

    private DrivenOptions Tester(ParseResult parsed, SimulatorOptions run)
    {
        var plant = parsed.GetValue(_plant) is { } seed ? DrivenPlantDraw.Draw(run.Method, run.Expected, run.AmbientCelsius, seed) : DrivenPlant.For(run.Method);
        return new() { Run = run, Plant = plant with { ThermalMass = parsed.GetValue(_mass) ?? plant.ThermalMass } };
    }
}
