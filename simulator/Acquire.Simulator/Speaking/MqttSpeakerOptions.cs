using System.Globalization;
using System.Text.RegularExpressions;
using Acquire.Core;
using Acquire.Core.Thermometry;

namespace Acquire.Simulator;

/// <summary>Where and how a simulated tester publishes.</summary>
public sealed partial record MqttSpeakerOptions
{
    /// <summary>The tester's id, part of its topics: 1 to 64 lower-case letters, digits and hyphens.</summary>
    public required string Tester { get; init; }

    /// <summary>Host of the broker.</summary>
    public string Host { get; init; } = "127.0.0.1";

    /// <summary>Port of the broker, 1 to 65535.</summary>
    public int Port { get; init; } = 1883;

    /// <summary>
    /// False: rows as JSON on acquire/{tester}/readings. True: plain numbers on acquire/{tester}/temperature, /detector and /flame,
    /// the last only when it changes; such numbers carry no time. A second detector has /second_detector. A thermometer that is not plain has /thermometer, and /junction where it sends one.
    /// </summary>
    public bool SeparateTopics { get; init; }

    /// <summary>What the rows carry of the thermometer.</summary>
    public ThermometerChain Chain { get; init; } = ThermometerChain.Plain;

    /// <summary>Whether the tester obeys commands: it then listens on acquire/{tester}/drive, and its rows say which command it obeys. Not with separate topics.</summary>
    public bool IsDriven { get; init; }

    /// <summary>What is out of range, option by option.</summary>
    public IReadOnlyList<InputError> Check()
    {
        var errors = new List<InputError>();
        if (!TesterPattern().IsMatch(Tester))
        {
            errors.Add(new("tester", $"'{Tester}' is not 1 to 64 lower-case letters, digits and hyphens"));
        }

        if (string.IsNullOrWhiteSpace(Host))
        {
            errors.Add(new("host", "is empty"));
        }

        if (Port is < 1 or > 65535)
        {
            errors.Add(new("port", string.Create(CultureInfo.InvariantCulture, $"{Port} is not within 1 to 65535")));
        }

        if (IsDriven && SeparateTopics)
        {
            errors.Add(new("separateTopics", "a driven tester sends its rows as JSON, for an acknowledgement belongs to a moment"));
        }

        return errors;
    }

    [GeneratedRegex(@"^[a-z0-9-]{1,64}\z")]
    private static partial Regex TesterPattern();
}
