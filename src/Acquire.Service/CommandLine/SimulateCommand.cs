using System.CommandLine;
using Acquire.Core;
using Acquire.Core.Methods;
using Acquire.Simulator;

namespace Acquire.Service.CommandLine;

/// <summary>`acquire simulate`: makes a simulated run as a trace, with its truth beside it.</summary>
internal sealed class SimulateCommand
{
    private readonly Option<string> _method = new("--method") { Description = "Method id that the simulated tester follows.", Required = true };
    private readonly Option<double> _flash = NumberOption.Required("--flash", "Flash point as the tester's thermometer reads it at 101.3 kPa, °C.");
    private readonly Option<double?> _fire = NumberOption.Optional("--fire", "Fire point likewise, °C; left out, the specimen never burns on.");
    private readonly Option<double?> _expected = NumberOption.Optional("--expected-flash", "What the analyst expects, °C; left out, the flash point to the nearest degree.");
    private readonly Option<double> _pressure = NumberOption.WithDefault("--pressure-kpa", "Pressure at the bench, kPa.", 101.3);
    private readonly Option<ulong> _seed = new("--seed") { Description = "Picks one run; equal seeds give equal traces.", DefaultValueFactory = _ => 1 };
    private readonly Option<double?> _rate = NumberOption.Optional("--ramp-rate", "Hold this rate instead of the method's, °C/min: a spoiled run.");
    private readonly Option<double> _rows = NumberOption.WithDefault("--rows-per-second", "Readings a second, 10 to 500.", 50);
    private readonly Option<bool> _noFlame = new("--no-flame-signal") { Description = "Leave the flame column out." };
    private readonly Option<bool> _hard = new("--hard") { Description = "A faint flash in a noisy detector." };
    private readonly Option<string?> _path = new("--out") { Description = "Trace file to write; its truth goes beside it." };
    private readonly Option<string?> _serial = new("--serial") { Description = "Serial port or pseudo-terminal to speak to instead: lines of time_s,temperature_c,detector,flame." };
    private readonly Option<string?> _mqtt = new("--mqtt") { Description = "HOST:PORT of an MQTT broker to speak to instead: JSON on acquire/TESTER/readings." };
    private readonly Option<string> _tester = new("--tester") { Description = "Tester id in MQTT topics.", DefaultValueFactory = _ => "bench-1" };
    private readonly Option<double> _speed = NumberOption.WithDefault("--speed", "How many times faster than real to speak, 1 to 60.", 1);

    public static Command Build() => new SimulateCommand().ToCommand();

    private Command ToCommand()
    {
        var command = new Command("simulate", "Simulate a tester: write a trace, or speak over a serial line or MQTT.") { _method, _flash, _fire, _expected, _pressure, _seed, _rate, _rows, _noFlame, _hard, _path, _serial, _mqtt, _tester, _speed };
        command.SetAction(RunAsync);
        return command;
    }

    private async Task<int> RunAsync(ParseResult parsed, CancellationToken cancellationToken)
    {
        var error = parsed.InvocationConfiguration.Error;
        if (!MethodCatalog.TryFind(parsed.GetValue(_method)!, out var definition))
        {
            error.WriteLine(MethodCatalog.Unknown("--method", parsed.GetValue(_method)!));
            return ExitCode.BadInput;
        }

        var options = new SimulatorOptions
        {
            Method = definition,
            FlashCelsius = parsed.GetValue(_flash),
            FireCelsius = parsed.GetValue(_fire),
            ExpectedFlashCelsius = parsed.GetValue(_expected),
            StationPressureKilopascals = parsed.GetValue(_pressure),
            Seed = parsed.GetValue(_seed),
            ControlledRateCelsiusPerMinute = parsed.GetValue(_rate),
            RowsPerSecond = parsed.GetValue(_rows),
            HasFlameSignal = !parsed.GetValue(_noFlame),
            Scene = parsed.GetValue(_hard) ? DetectorScene.Hard : DetectorScene.Clear,
        };
        var target = new SimulationTarget(parsed.GetValue(_path), parsed.GetValue(_serial), parsed.GetValue(_mqtt), parsed.GetValue(_tester)!, parsed.GetValue(_speed));
        return await RunAsync(options, target, parsed.InvocationConfiguration.Output, error, cancellationToken).ConfigureAwait(false);
    }

    // The simulator names its own options; a person gave flags.
    private static InputError AsOption(InputError error) => error.Path switch
    {
        "flashCelsius" => error with { Path = "--flash" },
        "fireCelsius" => error with { Path = "--fire" },
        "expectedFlashCelsius" => error with { Path = "--expected-flash" },
        "stationPressureKilopascals" => error with { Path = "--pressure-kpa" },
        "controlledRateCelsiusPerMinute" => error with { Path = "--ramp-rate" },
        "rowsPerSecond" => error with { Path = "--rows-per-second" },
        _ => error,
    };

    private static async Task<int> RunAsync(SimulatorOptions options, SimulationTarget target, TextWriter output, TextWriter error, CancellationToken cancellationToken)
    {
        InputError[] problems = [.. options.Check().Select(AsOption), .. target.Check()];
        if (problems.Length > 0)
        {
            foreach (var problem in problems)
            {
                error.WriteLine(problem);
            }

            return ExitCode.BadInput;
        }

        try
        {
            var run = new SimulatedRun(options);
            if (target.TracePath is { } path)
            {
                var truth = await TraceWriter.WriteAsync(run, path, cancellationToken).ConfigureAwait(false);
                output.WriteLine($"{path} (truth: {truth})");
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
            error.WriteLine(new InputError("--out", $"cannot be written: {exception.Message}"));
            return ExitCode.BadInput;
        }
        catch (OperationCanceledException) when (cancellationToken.IsCancellationRequested)
        {
            return ExitCode.Failed;
        }
    }
}
