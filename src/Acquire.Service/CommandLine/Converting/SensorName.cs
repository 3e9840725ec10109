using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using Acquire.Core;
using Acquire.Core.Thermometry;
using Acquire.Service.Configuration;

namespace Acquire.Service.CommandLine.Converting;

/// <summary>The names of sensors on the command line, in any case.</summary>
internal static class SensorName
{
    /// <summary>The names, for messages.</summary>
    public const string All = "B, E, J, K, N, R, S, T, Pt100, Pt500, Pt1000 (any Pt with 10 to 10000 ohm at 0 °C), ntc, 4-20-ma, 0-10-v";

    private const double LeastR0Ohms = 10;
    private const double MostR0Ohms = 10_000;

    /// <summary>The sensor of a name; the error names the option and all names.</summary>
    public static bool TryParse(string option, string name, [NotNullWhen(true)] out ConvertSensor? sensor, [NotNullWhen(false)] out InputError? error)
    {
        sensor = name.ToUpperInvariant() switch
        {
            [var letter] when Enum.TryParse<ThermocoupleType>([letter], out var type) && char.IsAsciiLetter(letter) => new ConvertThermocouple(type),
            "NTC" => new ConvertThermistor(),
            "4-20-MA" => new ConvertTransmitter(TransmitterSignal.FourToTwentyMilliampere),
            "0-10-V" => new ConvertTransmitter(TransmitterSignal.ZeroToTenVolt),
            ['P', 'T', .. var ohms] when double.TryParse(ohms, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var r0) && r0 is >= LeastR0Ohms and <= MostR0Ohms => new ConvertPlatinum(r0),
            _ => null,
        };
        error = sensor is null ? new(option, $"given \"{JsonText.Shown(name)}\"; allowed: {All}") : null;
        return sensor is not null;
    }
}
