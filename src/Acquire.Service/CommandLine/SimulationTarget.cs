using System.Globalization;
using Acquire.Core;
using Acquire.Core.Readings;
using Acquire.Core.Thermometry;
using Acquire.Service.Sources.Serial;
using Acquire.Simulator;

namespace Acquire.Service.CommandLine;

/// <summary>Where a simulated run goes: a file, a serial line or a broker.</summary>
internal sealed record SimulationTarget(ThermometerChain Chain, RowChannels Bench, string? TracePath, string? SerialPort, string? Broker, string Tester, double Speed)
{
    private const int BaudRate = 115_200;

    /// <summary>What is wrong with the choice; empty where exactly one target is given and usable.</summary>
    public IReadOnlyList<InputError> Check()
    {
        var errors = new List<InputError>(SpeakingSpeed.Check("--speed", Speed));
        var given = new[] { TracePath, SerialPort, Broker }.Count(target => !string.IsNullOrWhiteSpace(target));
        if (given != 1)
        {
            errors.Add(new("--out", "give exactly one of --out FILE, --serial PORT and --mqtt HOST:PORT"));
        }
        else if (SerialPort is { } port && !PortDiagnosis.IsThere(port))
        {
            errors.Add(new("--serial", $"'{port}' is not there; give a serial port, or one end of a pair of pseudo terminals whose other end the service reads"));
        }
        else if (Broker is not null)
        {
            errors.AddRange(BrokerOptions() is { } options ? options.Check() : [new InputError("--mqtt", $"'{Broker}' is not HOST:PORT with a port from 1 to 65535")]);
        }

        return errors;
    }

    /// <summary>Says rows to the chosen wire; only after <see cref="Check"/> found nothing.</summary>
    public ISpeaker Speaker(Action<string> onTrouble) => SerialPort is { } port
        ? SerialSpeaker.OnPort(port, BaudRate, TimeProvider.System, onTrouble, Chain, Bench)
        : new MqttSpeaker(BrokerOptions()!, TimeProvider.System, onTrouble);

    private MqttSpeakerOptions? BrokerOptions()
    {
        var colon = Broker!.LastIndexOf(':');
        return colon > 0 && int.TryParse(Broker.AsSpan(colon + 1), NumberStyles.None, CultureInfo.InvariantCulture, out var port)
            ? new MqttSpeakerOptions { Tester = Tester, Host = Broker[..colon], Port = port, Chain = Chain }
            : null;
    }
}
