using System.CommandLine;
using Acquire.Core;
using Acquire.Simulator;

namespace Acquire.Service.CommandLine;

/// <summary>The options of `acquire simulate` that say which detectors look at the cup and what disturbs the run.</summary>
internal sealed class SceneArguments
{
    private static readonly Dictionary<string, DetectorKind> Kinds = new()
    {
        ["plain"] = DetectorKind.Plain,
        ["thermal"] = DetectorKind.Thermal,
        ["ionisation"] = DetectorKind.Ionisation,
    };

    private readonly Option<string> _detectors = new("--detectors") { Description = "one, or two: an ionisation electrode that decides and a thermal detector that confirms.", DefaultValueFactory = _ => "one" };
    private readonly Option<string> _detector = new("--detector") { Description = "What the only detector is: plain, thermal or ionisation.", DefaultValueFactory = _ => "plain" };
    private readonly Option<string[]> _disturbances = new("--disturb") { Description = $"{Disturbance.Form}, with start and length in seconds, such as hum, spikes:0.2 or draught:2:600:90; may be given again. Kinds: {DisturbanceFacts.AllWords}.", DefaultValueFactory = _ => [] };
    private readonly Option<double?> _hum = NumberOption.Optional("--hum-hertz", "Frequency of the disturbance hum, 0.01 to 500 Hz: the mains, such as 50.03, or the slow wave that it folds down to, such as 1.5.");

    public void AddTo(Command command)
    {
        foreach (var option in new Option[] { _detectors, _detector, _disturbances, _hum })
        {
            command.Add(option);
        }
    }

    /// <summary>Adds what is given to the options of a run; ranges are for <see cref="SimulatorOptions.Check"/>.</summary>
    public SimulatorOptions Apply(ParseResult parsed, SimulatorOptions run, out IReadOnlyList<InputError> errors)
    {
        var wrong = new List<InputError>();
        var (detectors, detector) = (parsed.GetValue(_detectors), parsed.GetValue(_detector));
        if (detectors is not ("one" or "two"))
        {
            wrong.Add(new("--detectors", $"'{detectors}' is neither one nor two"));
        }

        if (!Kinds.TryGetValue(detector!, out var kind))
        {
            wrong.Add(new("--detector", $"'{detector}' is none of {string.Join(", ", Kinds.Keys)}"));
        }

        var disturbances = new List<Disturbance>();
        foreach (var text in parsed.GetValue(_disturbances) ?? [])
        {
            if (Disturbance.TryParse(text, "--disturb", out var disturbance, out var error))
            {
                disturbances.Add(disturbance);
            }
            else
            {
                wrong.Add(error);
            }
        }

        errors = wrong;
        return run with { TwoDetectors = detectors == "two", Detector = kind, Disturbances = disturbances, HumHertz = parsed.GetValue(_hum) };
    }
}
