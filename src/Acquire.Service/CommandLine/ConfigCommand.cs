using System.CommandLine;
using System.Globalization;
using Acquire.Service.Configuration;
using Acquire.Service.Configuration.Parsing;

namespace Acquire.Service.CommandLine;

/// <summary>`acquire config`: looks a configuration over without starting anything.</summary>
internal static class ConfigCommand
{
    public static Command Build() => new("config", "Check a configuration, or print its description for editors.") { Check(), Schema() };

    private static Command Check()
    {
        var file = new ConfigFileChoice();
        var check = new Command("check", "Say every mistake in a configuration, with its place and what is allowed there. Opens no port and connects to nothing.");
        file.AddTo(check);
        check.SetAction(parsed =>
        {
            var path = file.Path(parsed);
            var (output, error) = (parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error);
            if (ConfigFile.TryRead(path, out var config, out var mistakes))
            {
                mistakes = ServeCommand.AutoStarts(path, config);
            }

            foreach (var mistake in mistakes)
            {
                error.WriteLine(mistake);
            }

            if (mistakes.Count > 0)
            {
                error.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{mistakes.Count} {(mistakes.Count == 1 ? "mistake" : "mistakes")}; the service would not start with this file."));
                return ExitCode.BadInput;
            }

            Write(config!, path, output);
            return ExitCode.Done;
        });
        return check;
    }

    private static Command Schema()
    {
        var schema = new Command("schema", "Print the JSON Schema of a configuration, for editors.");
        schema.SetAction(parsed =>
        {
            parsed.InvocationConfiguration.Output.Write(ConfigSchema.Text);
            return ExitCode.Done;
        });
        return schema;
    }

    // What was understood, so that a person sees whether it is what was meant. Passwords are not in it.
    private static void Write(AcquireConfig config, string path, TextWriter output)
    {
        output.WriteLine($"{path}: no mistake.");
        output.WriteLine($"page     {config.Listen}");
        output.WriteLine($"archive  {config.DataDirectory}");
        if (config.Testers.Select(tester => tester.Source).Concat(config.Ambient.Select(station => station.Source)).Any(source => source is SourceConfig.Mqtt))
        {
            output.WriteLine($"mqtt     {Shown(config.Mqtt)}");
        }

        if (config.Influx is { } influx)
        {
            output.WriteLine($"influx   {influx}, {(influx.TokenFile is { } file ? $"token in {file}" : influx.TokenVariable is { } variable ? $"token in the variable {variable}" : "no token")}");
            foreach (var warning in InfluxFiles.Warnings(influx))
            {
                output.WriteLine($"warning  {warning}");
            }
        }

        foreach (var station in config.Ambient)
        {
            output.WriteLine($"ambient  {station.Id}, {string.Join(" ", station.Source.Channels.Where(channel => channel != ReadingChannel.Ignore).Select(ChannelReader.Word))}: {station.Source.Description}; given to {(config.Testers.Where(tester => tester.Ambient.Contains(station.Id)).Select(tester => tester.Id).ToArray() is { Length: > 0 } users ? string.Join(", ", users) : "no tester")}");
        }

        foreach (var tester in config.Testers)
        {
            output.WriteLine($"tester   {tester.Id}, {tester.Mode.ToString().ToLowerInvariant()}: {tester.Source.Description}");
        }
    }

    private static string Shown(MqttConfig mqtt) => mqtt switch
    {
        MqttConfig.Embedded broker => string.Create(CultureInfo.InvariantCulture, $"own broker on {broker.Address}:{broker.Port}, {(broker.Tls is null ? "without TLS" : "TLS")}, {(broker.Accounts is { } accounts ? $"{accounts.Count} accounts" : "nobody is asked who they are")}"),
        MqttConfig.External { Connection: var broker } => $"{broker} as '{broker.ClientId}', {(broker.User is null ? "no user" : $"user '{broker.User}'")}",
        _ => throw new ArgumentOutOfRangeException(nameof(mqtt)),
    };
}
