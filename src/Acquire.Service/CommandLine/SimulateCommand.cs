using System.CommandLine;
using Acquire.Core;
using Acquire.Core.Methods;
using Acquire.Simulator;

namespace Acquire.Service.CommandLine;

/// <summary>`acquire simulate`: makes a simulated run as a trace, with its truth beside it.</summary>
internal static class SimulateCommand
{
    public static Command Build()
    {
        var method = new Option<string>("--method") { Description = "Method id that the simulated tester follows.", Required = true };
        var flash = new Option<double>("--flash") { Description = "Flash point as the tester's thermometer reads it at 101.3 kPa, °C.", Required = true };
        var fire = new Option<double?>("--fire") { Description = "Fire point likewise, °C; left out, the specimen never burns on." };
        var expected = new Option<double?>("--expected-flash") { Description = "What the analyst expects, °C; left out, the flash point to the nearest degree." };
        var pressure = new Option<double>("--pressure-kpa") { Description = "Pressure at the bench, kPa.", DefaultValueFactory = _ => 101.3 };
        var seed = new Option<ulong>("--seed") { Description = "Picks one run; equal seeds give equal traces.", DefaultValueFactory = _ => 1 };
        var rate = new Option<double?>("--ramp-rate") { Description = "Hold this rate instead of the method's, °C/min: a spoiled run." };
        var rows = new Option<double>("--rows-per-second") { Description = "Readings a second, 10 to 500.", DefaultValueFactory = _ => 50 };
        var noFlame = new Option<bool>("--no-flame-signal") { Description = "Leave the flame column out." };
        var hard = new Option<bool>("--hard") { Description = "A faint flash in a noisy detector." };
        var path = new Option<string?>("--out") { Description = "Trace file to write; its truth goes beside it." };
        var serial = new Option<string?>("--serial") { Description = "Serial port or pseudo-terminal to speak to instead: lines of time_s,temperature_c,detector,flame." };
        var mqtt = new Option<string?>("--mqtt") { Description = "HOST:PORT of an MQTT broker to speak to instead: JSON on acquire/TESTER/readings." };
        var tester = new Option<string>("--tester") { Description = "Tester id in MQTT topics.", DefaultValueFactory = _ => "bench-1" };
        var speed = new Option<double>("--speed") { Description = "How many times faster than real to speak, 1 to 60.", DefaultValueFactory = _ => 1 };
        var command = new Command("simulate", "Simulate a tester: write a trace, or speak over a serial line or MQTT.") { method, flash, fire, expected, pressure, seed, rate, rows, noFlame, hard, path, serial, mqtt, tester, speed };
        command.SetAction(async (parsed, cancellationToken) =>
        {
            var error = parsed.InvocationConfiguration.Error;
            if (!MethodCatalog.TryFind(parsed.GetValue(method)!, out var definition))
            {
                error.WriteLine(MethodCatalog.Unknown("--method", parsed.GetValue(method)!));
                return ExitCode.BadInput;
            }

            var options = new SimulatorOptions
            {
                Method = definition,
                FlashCelsius = parsed.GetValue(flash),
                FireCelsius = parsed.GetValue(fire),
                ExpectedFlashCelsius = parsed.GetValue(expected),
                StationPressureKilopascals = parsed.GetValue(pressure),
                Seed = parsed.GetValue(seed),
                ControlledRateCelsiusPerMinute = parsed.GetValue(rate),
                RowsPerSecond = parsed.GetValue(rows),
                HasFlameSignal = !parsed.GetValue(noFlame),
                Scene = parsed.GetValue(hard) ? DetectorScene.Hard : DetectorScene.Clear,
            };
            var target = new SimulationTarget(parsed.GetValue(path), parsed.GetValue(serial), parsed.GetValue(mqtt), parsed.GetValue(tester)!, parsed.GetValue(speed));
            return await RunAsync(options, target, parsed.InvocationConfiguration.Output, error, cancellationToken).ConfigureAwait(false);
        });
        return command;
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
