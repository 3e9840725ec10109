using System.CommandLine;
using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Text.Json.Nodes;
using Acquire.Core;
using Acquire.Core.Thermometry;
using Acquire.Service.Configuration;
using Acquire.Service.Configuration.Parsing;

namespace Acquire.Service.CommandLine.Devices;

/// <summary>A wire that a person chose, and how it is read.</summary>
/// <param name="Source">The wire; a serial one without layout and poll is shown line by line as it is.</param>
/// <param name="Unit">Unit of a thermometer's signal.</param>
internal sealed record ChosenPort(SourceConfig Source, ThermometerUnit Unit)
{
    /// <summary>Where MQTT readings come from.</summary>
    public MqttConfig Mqtt { get; init; } = new MqttConfig.Embedded(System.Net.IPAddress.Loopback, 1883);
}

/// <summary>Options by which a person chooses a port: a tester of the configuration, or a port with its settings.</summary>
internal sealed class PortChoice
{
    private const string SourcePath = "testers[0].source.";

    private readonly Argument<string?> _tester = new("TESTER") { Description = "Id of a tester, or of a shared source, in the configuration: its wire, and how it is decoded.", Arity = ArgumentArity.ZeroOrOne };
    private readonly Option<string> _config = new("--config") { Description = "Configuration file, see docs/configuration.md.", DefaultValueFactory = _ => "acquire.json" };
    private readonly Option<string?> _port;
    private readonly Dictionary<string, Option<string?>> _settings = new()
    {
        ["baudRate"] = new("--baud-rate") { Description = "Bits per second, 9600 unless given." },
        ["dataBits"] = new("--data-bits") { Description = "5 to 8; 8 unless given." },
        ["parity"] = new("--parity") { Description = "none, odd, even, mark or space; none unless given." },
        ["stopBits"] = new("--stop-bits") { Description = "one, one-and-a-half or two; one unless given." },
        ["handshake"] = new("--handshake") { Description = "none, xon-xoff or rts-cts; none unless given." },
        ["lineEnd"] = new("--line-end") { Description = "lf, cr, cr-lf, or bytes such as \\x03; lf unless given." },
    };

    /// <param name="portOption">Name of the option that gives a port.</param>
    /// <param name="portDescription">What it is for.</param>
    public PortChoice(string portOption, string portDescription) => _port = new(portOption) { Description = portDescription };

    /// <summary>Adds the options to a command.</summary>
    public void AddTo(Command command)
    {
        command.Add(_tester);
        command.Add(_config);
        command.Add(_port);
        foreach (var option in _settings.Values)
        {
            command.Add(option);
        }
    }

    /// <summary>The port of the option alone; null where it was not given.</summary>
    public string? Port(ParseResult parsed) => parsed.GetValue(_port);

    /// <summary>Whether a tester was named.</summary>
    public bool NamesTester(ParseResult parsed) => parsed.GetValue(_tester) is not null;

    /// <summary>The tester of the configuration.</summary>
    public bool TryTester(ParseResult parsed, [NotNullWhen(true)] out ChosenPort? chosen, out IReadOnlyList<InputError> errors)
    {
        chosen = null;
        if (!ConfigFile.TryRead(parsed.GetValue(_config)!, out var config, out errors))
        {
            return false;
        }

        var id = parsed.GetValue(_tester)!;
        var known = config.Testers.Select(tester => (tester.Id, tester.Source, tester.Thermometer.Unit)).Concat(config.Ambient.Select(station => (station.Id, station.Source, Unit: ThermometerUnit.Celsius))).ToArray();
        if (Array.Find(known, one => one.Id == id) is not { Id: not null } found)
        {
            var ids = Array.ConvertAll(known, one => one.Id);
            var nearest = NearestKey.Find(id, ids);
            errors = [new("TESTER", $"given \"{JsonText.Shown(id)}\"; allowed: {(ids.Length == 0 ? "none, the file has no testers" : string.Join(", ", ids))}{(nearest is null ? "" : $"; did you mean \"{nearest}\"?")}")];
            return false;
        }

        chosen = new(found.Source, found.Unit) { Mqtt = config.Mqtt };
        return true;
    }

    /// <summary>The port of the option with the settings beside it.</summary>
    public bool TryPort(ParseResult parsed, [NotNullWhen(true)] out ChosenPort? chosen, out IReadOnlyList<InputError> errors)
    {
        // The reader of the configuration knows every range and word; it is asked, so that both always agree.
        var source = new JsonObject { ["kind"] = "serial", ["port"] = Port(parsed), ["columns"] = new JsonArray(new JsonObject { ["channel"] = "temperature", ["unit"] = "degC" }) };
        foreach (var (key, option) in _settings)
        {
            if (parsed.GetValue(option) is { } given)
            {
                source[key] = int.TryParse(given, NumberStyles.None, CultureInfo.InvariantCulture, out var number) ? number : given;
            }
        }

        var file = new JsonObject { ["testers"] = new JsonArray(new JsonObject { ["id"] = "a", ["source"] = source }) };
        if (!ConfigFile.TryParse(file.ToJsonString(), out var config, out var wrong))
        {
            (chosen, errors) = (null, [.. wrong.Select(AsOption)]);
            return false;
        }

        (chosen, errors) = (new((SourceConfig.Serial)config.Testers[0].Source with { Layout = null }, ThermometerUnit.Celsius), []);
        return true;
    }

    /// <summary>A tester, on another port where one is given, or a port; refused where neither or too much was given.</summary>
    public bool TryChoose(ParseResult parsed, [NotNullWhen(true)] out ChosenPort? chosen, out IReadOnlyList<InputError> errors)
    {
        chosen = null;
        if (!NamesTester(parsed))
        {
            if (Port(parsed) is not null)
            {
                return TryPort(parsed, out chosen, out errors);
            }

            errors = [new("TESTER", $"give a tester of the configuration, or {_port.Name} with a port")];
            return false;
        }

        if (_settings.Values.FirstOrDefault(option => parsed.GetValue(option) is not null) is { } beside)
        {
            errors = [new(beside.Name, "is given beside a tester, which has its settings in the configuration; allowed: with a port alone")];
            return false;
        }

        if (!TryTester(parsed, out chosen, out errors))
        {
            return false;
        }

        return Port(parsed) is not { } port || TryOtherPort(port, ref chosen, out errors);
    }

    private bool TryOtherPort(string port, ref ChosenPort chosen, out IReadOnlyList<InputError> errors)
    {
        errors = [];
        if (chosen.Source is SourceConfig.Serial serial)
        {
            chosen = chosen with { Source = serial with { Port = port } };
            return true;
        }

        errors = [new(_port.Name, $"is given beside a tester that is read by {chosen.Source.Description}; allowed: with a tester of the kind \"serial\", or a port alone")];
        return false;
    }

    private InputError AsOption(InputError error)
    {
        var key = error.Path.StartsWith(SourcePath, StringComparison.Ordinal) ? error.Path[SourcePath.Length..] : error.Path;
        return error with { Path = _settings.TryGetValue(key, out var option) ? option.Name : _port.Name };
    }
}
