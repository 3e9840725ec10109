using System.CommandLine;
using Acquire.Core;
using Acquire.Core.Methods;
using Acquire.Core.Runs;
using Acquire.Core.Thermometry;
using Acquire.Service.Configuration;
using Acquire.Simulator;

namespace Acquire.Service.CommandLine;

/// <summary>`acquire simulate`: makes a simulated run as a trace, with its truth beside it.</summary>
internal sealed class SimulateCommand
{
    private readonly SituationArgument _situation = new();
    private readonly Option<string?> _method = new("--method") { Description = "Method id that the simulated tester follows. Required without --situation." };
    private readonly Option<string?> _methods = MethodsOption.Make();
    private readonly SpecimenArgument _specimen = new();
    private readonly Option<double?> _expected = NumberOption.Optional("--expected-flash", "What the analyst expects, °C; left out, the flash point to the nearest degree.");
    private readonly Option<bool> _scouting = new("--scouting") { Description = "The analyst knows nothing: a scouting run from a cold start, which ends at the first flash." };
    private readonly Option<double?> _specification = NumberOption.Optional("--specification", "Flash or no flash: the specification to be tested, °C.");
    private readonly Option<bool> _fine = new("--fine-step") { Description = "By steps: end with the method's optional, finer step." };
    private readonly Option<double> _pressure = NumberOption.WithDefault("--pressure-kpa", "Pressure at the bench, kPa.", 101.3);
    private readonly Option<ulong> _seed = new("--seed") { Description = "Picks one run; equal seeds give equal traces.", DefaultValueFactory = _ => 1 };
    private readonly Option<double?> _rate = NumberOption.Optional("--ramp-rate", "Hold this rate instead of the method's, °C/min: a spoiled run.");
    private readonly Option<double> _rows = NumberOption.WithDefault("--rows-per-second", "Readings a second, 10 to 500.", 50);
    private readonly Option<bool> _noFlame = new("--no-flame-signal") { Description = "Leave the flame column out." };
    private readonly Option<bool> _hard = new("--hard") { Description = "A faint flash in a noisy detector." };
    private readonly AnalystOptions _analyst = new();
    private readonly Option<string?> _thermometer = new("--thermometer") { Description = ThermometerArgument.Description };
    private readonly Option<double> _drift = NumberOption.WithDefault("--thermometer-drift", "How the thermometer's zero drifts from the start on, °C/h, -10 to 10.", 0);
    private readonly Option<string[]> _faults = new("--thermometer-fault") { Description = $"KIND:START:LENGTH, in seconds, such as stuck:600:90; may be given again. Kinds: {SimulatedFault.AllWords}.", DefaultValueFactory = _ => [] };
    private readonly Option<string?> _bench = new("--bench") { Description = BenchArgument.Description };
    private readonly Option<string[]> _benchFaults = new("--bench-fault") { Description = $"KIND:START:LENGTH, in seconds, such as draught:600:90; may be given again. Kinds: {BenchFault.AllWords}.", DefaultValueFactory = _ => [] };
    private readonly SceneArguments _scene = new();
    private readonly DrivenArguments _driven = new();
    private readonly Option<string?> _path = new("--out") { Description = "Trace file to write; its truth goes beside it." };
    private readonly Option<string?> _serial = new("--serial") { Description = "Serial port or pseudo-terminal to speak to instead: lines as in a trace, without its header." };
    private readonly Option<string?> _mqtt = new("--mqtt") { Description = "HOST:PORT of an MQTT broker to speak to instead: JSON on acquire/TESTER/readings." };
    private readonly Option<string> _tester = new("--tester") { Description = "Tester id in MQTT topics.", DefaultValueFactory = _ => "bench-1" };
    private readonly Option<double> _speed = NumberOption.WithDefault("--speed", "How many times faster than real to speak, 1 to 60.", 1);

    public static Command Build() => new SimulateCommand().ToCommand();

    private Command ToCommand()
    {
        var command = new Command("simulate", "Simulate a tester: write a trace, or speak over a serial line or MQTT.") { _method, _methods, _specimen.Flash, _specimen.Fire, _specimen.Specimen, _expected, _scouting, _specification, _fine, _pressure, _seed, _rate, _rows, _noFlame, _hard, _analyst.Guided, _analyst.Answer, _analyst.Reaction, _analyst.Mistakes, _thermometer, _drift, _faults, _bench, _benchFaults, _path, _serial, _mqtt, _tester, _speed };
        _situation.AddTo(command);
        _scene.AddTo(command);
        _driven.AddTo(command);
        command.Add(SpecimensCommand.Build());
        command.SetAction(RunAsync);
        return command;
    }

    private async Task<int> RunAsync(ParseResult parsed, CancellationToken cancellationToken)
    {
        var error = parsed.InvocationConfiguration.Error;
        if (!MethodsOption.TryRead(parsed.GetValue(_methods), out var methods, out var broken))
        {
            return Refuse(error, broken);
        }

        if (_situation.IsGiven(parsed))
        {
            return await RunSituationAsync(parsed, error, cancellationToken).ConfigureAwait(false);
        }

        if (parsed.GetValue(_method) is null)
        {
            return Refuse(error, [new(_method.Name, "is required, unless --situation is given"), .. _specimen.Missing(parsed)]);
        }

        if (!methods.TryFind(parsed.GetValue(_method)!, out var definition))
        {
            return Refuse(error, [methods.Unknown("--method", parsed.GetValue(_method)!)]);
        }

        if (!TryThermometer(parsed, out var thermometer, out var problems) | !BenchArgument.TryRead(parsed.GetValue(_bench), parsed.GetValue(_benchFaults), out var bench, out var others) | !_analyst.TryRead(parsed, out var analyst, out var mistakes))
        {
            return Refuse(error, [.. problems, .. others, .. mistakes]);
        }

        var bare = Bare(parsed, definition) with { HasFlameSignal = analyst is null && !parsed.GetValue(_noFlame), Analyst = analyst, Thermometer = thermometer, Bench = bench };
        if (!_specimen.TryFill(parsed, bare, out var filled, out var none))
        {
            return Refuse(error, none);
        }

        var options = _scene.Apply(parsed, filled, out var unseen);
        if (unseen.Count > 0)
        {
            return Refuse(error, unseen);
        }

        var target = Target(parsed, options);
        if (_driven.TryRead(parsed, options, out var driven, out var refused))
        {
            return await DrivenSimulation.RunAsync(driven, target, AsOption, parsed.InvocationConfiguration.Output, error, cancellationToken).ConfigureAwait(false);
        }

        return refused.Count > 0 ? Refuse(error, refused) : await RunAsync(options, target, parsed.InvocationConfiguration.Output, error, cancellationToken).ConfigureAwait(false);
    }

    // What needs no reading beyond its option's own.
    private SimulatorOptions Bare(ParseResult parsed, MethodDefinition definition) => new()
    {
        Method = definition,
        FlashCelsius = double.NaN,
        ExpectedFlashCelsius = parsed.GetValue(_expected),
        Scouting = parsed.GetValue(_scouting),
        SpecificationCelsius = parsed.GetValue(_specification),
        FineStep = parsed.GetValue(_fine),
        StationPressureKilopascals = parsed.GetValue(_pressure),
        Seed = parsed.GetValue(_seed),
        ControlledRateCelsiusPerMinute = parsed.GetValue(_rate),
        RowsPerSecond = parsed.GetValue(_rows),
        Scene = parsed.GetValue(_hard) ? DetectorScene.Hard : DetectorScene.Clear,
    };

    private async Task<int> RunSituationAsync(ParseResult parsed, TextWriter error, CancellationToken cancellationToken)
    {
        var output = parsed.InvocationConfiguration.Output;
        var clean = SituationCatalog.All[0].Options(parsed.GetValue(_seed));
        var given = _scene.Apply(parsed, clean with { Disturbances = [], StationPressureKilopascals = parsed.GetValue(_pressure), RowsPerSecond = parsed.GetValue(_rows) }, out var unseen);
        var options = _situation.Apply(parsed, given, out var refused, out var situation);
        if (unseen.Count > 0 || options is null)
        {
            return Refuse(error, [.. refused, .. unseen]);
        }

        var code = await RunAsync(options, Target(parsed, options), output, error, cancellationToken).ConfigureAwait(false);
        if (code == ExitCode.Done)
        {
            error.WriteLine($"Situation {situation!.Name}: {situation.Happens} Acquire should conclude: {situation.Expected}.");
        }

        return code;
    }

    private SimulationTarget Target(ParseResult parsed, SimulatorOptions options) =>
        new(options.Thermometer.Chain, options.Bench.Channels, parsed.GetValue(_path), parsed.GetValue(_serial), parsed.GetValue(_mqtt), parsed.GetValue(_tester)!, parsed.GetValue(_speed));

    // The simulator names its own options; a person gave flags.
    internal static InputError AsOption(InputError error) => error.Path switch
    {
        "plant.thermalMass" => error with { Path = "--thermal-mass" },
        _ when error.Path.StartsWith("faults[", StringComparison.Ordinal) => error with { Path = "--tester-fault" + error.Path["faults".Length..] },
        "method" => error with { Path = "--method" },
        "flashCelsius" => error with { Path = "--flash" },
        "specimen" => error with { Path = "--specimen" },
        "thermometer.driftCelsiusPerHour" => error with { Path = "--thermometer-drift" },
        "fireCelsius" => error with { Path = "--fire" },
        "run" => error with { Path = "--driven" },
        "stationPressureKilopascals" => error with { Path = "--pressure-kpa" },
        "controlledRateCelsiusPerMinute" => error with { Path = "--ramp-rate" },
        "rowsPerSecond" => error with { Path = "--rows-per-second" },
        _ when error.Path.StartsWith("thermometer.chain.", StringComparison.Ordinal) => error with { Path = "--thermometer: " + error.Path["thermometer.chain.".Length..] },
        _ when error.Path.StartsWith("thermometer.faults", StringComparison.Ordinal) => error with { Path = "--thermometer-fault" + error.Path["thermometer.faults".Length..] },
        _ when error.Path.StartsWith("bench.channels", StringComparison.Ordinal) => error with { Path = "--bench" },
        _ when error.Path.StartsWith("bench.faults", StringComparison.Ordinal) => error with { Path = "--bench-fault" + error.Path["bench.faults".Length..] },
        "detector" => error with { Path = "--detector" },
        "twoDetectors" => error with { Path = "--detectors" },
        "humHertz" => error with { Path = "--hum-hertz" },
        _ when error.Path.StartsWith("disturbances", StringComparison.Ordinal) => error with { Path = "--disturb" + error.Path["disturbances".Length..] },
        "analyst.answerSeconds" => error with { Path = "--answer" },
        "analyst.reactionSeconds" => error with { Path = "--reaction" },
        _ when error.Path.StartsWith("analyst.mistakes", StringComparison.Ordinal) => error with { Path = "--mistake" + error.Path["analyst.mistakes".Length..] },
        _ => PlanArguments.AsOption(error),
    };

    /// <summary>Says what is wrong, line by line.</summary>
    internal static int Refuse(TextWriter error, IEnumerable<InputError> problems)
    {
        foreach (var problem in problems)
        {
            error.WriteLine(problem);
        }

        return ExitCode.BadInput;
    }

    private bool TryThermometer(ParseResult parsed, out SimulatedThermometer thermometer, out IReadOnlyList<InputError> errors)
    {
        var day = DateOnly.FromDateTime(TimeProvider.System.GetLocalNow().Date);
        _ = ThermometerArgument.TryFind(parsed.GetValue(_thermometer), day, out var chain, out errors);
        var faults = new List<SimulatedFault>();
        foreach (var text in parsed.GetValue(_faults) ?? [])
        {
            if (SimulatedFault.TryParse(text, "--thermometer-fault", out var fault, out var error))
            {
                faults.Add(fault);
            }
            else
            {
                errors = [.. errors, error];
            }
        }

        thermometer = new() { Chain = chain ?? ThermometerChain.Plain, Faults = faults, DriftCelsiusPerHour = parsed.GetValue(_drift) };
        return errors.Count == 0;
    }

    // Signals say nothing without the thermometer that gave them.
    internal static async Task<string> WriteThermometerAsync(ThermometerChain chain, string tracePath, CancellationToken cancellationToken)
    {
        if (chain.IsPlain)
        {
            return "";
        }

        var path = Path.ChangeExtension(tracePath, ".thermometer.json");
        await File.WriteAllTextAsync(path, ThermometerChainFile.Write(chain) + "\n", cancellationToken).ConfigureAwait(false);
        return $", thermometer: {path}";
    }

    // Readings say nothing of fresh portions without the person who charged them.
    internal static async Task<string> WriteEntriesAsync(IReadOnlyList<PersonEntry> made, string tracePath, CancellationToken cancellationToken)
    {
        if (made.Count == 0)
        {
            return "";
        }

        var path = GuidedOptions.Beside(tracePath);
        await File.WriteAllLinesAsync(path, [PersonEntryWords.HeaderWithPortions, .. made.Select(PersonEntryWords.LineWithPortions)], cancellationToken).ConfigureAwait(false);
        return $", portions: {path}";
    }

    private static async Task<int> RunAsync(SimulatorOptions options, SimulationTarget target, TextWriter output, TextWriter error, CancellationToken cancellationToken)
    {
        InputError[] problems = [.. options.Check().Select(AsOption), .. target.Check()];
        if (problems.Length > 0)
        {
            return Refuse(error, problems);
        }

        try
        {
            var run = new SimulatedRun(options);
            if (target.TracePath is { } path)
            {
                var truth = await TraceWriter.WriteAsync(run, path, cancellationToken).ConfigureAwait(false);
                var entries = await WriteEntriesAsync(run.Entries, path, cancellationToken).ConfigureAwait(false);
                output.WriteLine($"{path} (truth: {truth}{entries}{await WriteThermometerAsync(options.Thermometer.Chain, path, cancellationToken).ConfigureAwait(false)}{(options.Analyst is null || run.Entries.Count > 0 ? "" : $", observations: {TraceWriter.KeysPath(path)}")})");
            }
            else
            {
                await target.Speaker(error.WriteLine).SpeakAsync(run, target.Speed, cancellationToken).ConfigureAwait(false);
                output.WriteLine(TraceWriter.TruthJson(run.Truth));
            }

            return ExitCode.Done;
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException or NotSupportedException)
        {
            return Refuse(error, [new InputError("--out", $"cannot be written: {exception.Message}")]);
        }
        catch (OperationCanceledException) when (cancellationToken.IsCancellationRequested)
        {
            return ExitCode.Failed;
        }
    }
}
