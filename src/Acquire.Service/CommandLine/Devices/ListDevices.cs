using System.CommandLine;
using Acquire.Core;
using Acquire.Service.Configuration;
using Acquire.Service.Sources.Serial;

namespace Acquire.Service.CommandLine.Devices;

/// <summary>`acquire devices list`: the serial ports of this machine, their lasting names, and the testers that use them.</summary>
internal sealed class ListDevices
{
    private const string UsualConfig = "acquire.json";
    private const double LongestListenSeconds = 60;

    private readonly Option<string?> _config = new("--config") { Description = $"Configuration file; left out, {UsualConfig} where there is one." };
    private readonly Option<double?> _listen = NumberOption.Optional("--listen", "Open each port that is there for so long, up to 60 s, and say whether lines arrive. Nothing is sent, but opening a port can restart what is on it.");

    public Command ToCommand()
    {
        var command = new Command("list", "List the serial ports, their lasting names, and the testers that use them.") { _config, _listen };
        command.SetAction(RunAsync);
        return command;
    }

    private async Task<int> RunAsync(ParseResult parsed, CancellationToken cancellationToken)
    {
        var (output, error) = (parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error);
        var listen = parsed.GetValue(_listen);
        if (listen is not (null or (> 0 and <= LongestListenSeconds)))
        {
            return SimulateCommand.Refuse(error, [new(_listen.Name, FormattableString.Invariant($"given {listen}; allowed: above 0, up to {LongestListenSeconds} s"))]);
        }

        if (!TryTesters(parsed.GetValue(_config), out var testers, out var errors))
        {
            return SimulateCommand.Refuse(error, errors);
        }

        var ports = ListedPort.All(PortList.Find(), testers);
        if (ports.Count == 0)
        {
            output.WriteLine("There is no serial port, and the configuration names none.");
            return ExitCode.Done;
        }

        var heard = listen is { } seconds
            ? await Task.WhenAll(ports.Select(port => PortListening.HearAsync(port, seconds, cancellationToken))).ConfigureAwait(false)
            : [.. ports.Select(port => port.IsThere ? "there" : "NOT THERE: plug the tester in and switch it on")];
        Write(ports, heard, output);
        return ExitCode.Done;
    }

    private static void Write(IReadOnlyList<ListedPort> ports, string[] heard, TextWriter output)
    {
        for (var i = 0; i < ports.Count; i++)
        {
            var port = ports[i];
            output.WriteLine(port.Name);
            foreach (var name in port.LastingNames)
            {
                output.WriteLine($"  lasting name  {name}");
            }

            output.WriteLine($"  used by       {(port.Users.Count == 0 ? "no tester" : string.Join(", ", port.Users.Select(user => $"{user.Id} ({user.Source.Description})")))}");
            if (port.Users.Count > 0 && port.LastingNames.Count > 0 && port.Users.Any(user => ListedPort.PortOf(user) == port.Name))
            {
                output.WriteLine($"  advice        write the lasting name into acquire.json: {port.Name} may be another adapter after the next plug");
            }

            output.WriteLine($"  state         {heard[i]}");
        }
    }

    private static bool TryTesters(string? given, out IReadOnlyList<TesterConfig> testers, out IReadOnlyList<InputError> errors)
    {
        (testers, errors) = ([], []);
        if (given is null && !File.Exists(UsualConfig))
        {
            return true;
        }

        if (!ConfigFile.TryRead(given ?? UsualConfig, out var config, out errors))
        {
            return false;
        }

        // A source that testers share uses its port as a tester does.
        testers = [.. config.Testers, .. config.Ambient.Select(station => new TesterConfig { Id = station.Id, Name = station.Name, QueueCapacity = 16, StaleAfterSeconds = station.StaleAfterSeconds, Source = station.Source })];
        return true;
    }
}
