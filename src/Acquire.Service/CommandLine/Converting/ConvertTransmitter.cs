using Acquire.Core;
using Acquire.Core.Readings;
using Acquire.Core.Thermometry;

namespace Acquire.Service.CommandLine.Converting;

/// <summary>Linear transmitters.</summary>
internal sealed class ConvertTransmitter(TransmitterSignal signal) : ConvertSensor(signal == TransmitterSignal.FourToTwentyMilliampere ? "4-20-ma" : "0-10-v")
{
    private readonly bool _current = signal == TransmitterSignal.FourToTwentyMilliampere;

    public override IReadOnlyList<string> Signals => [_current ? ConvertOptions.Milliamperes : ConvertOptions.Volts];

    public override IReadOnlyList<string> Needed => [ConvertOptions.LowCelsius, ConvertOptions.HighCelsius];

    private string Unit => _current ? "mA" : "V";

    private string Range => _current ? "3.8 to 20.5 mA carry a temperature (NAMUR NE 43)" : "-0.25 to 10.25 V carry a temperature";

    public override ConvertReport? FromSignal(string option, IReadOnlyDictionary<string, double> given, List<InputError> errors)
    {
        if (!TryRead(given, errors, out var sensor))
        {
            return null;
        }

        var answer = Transmitter.Read(given[option], sensor);
        if (answer.State != TransmitterState.Measuring)
        {
            errors.Add(new(option, ConvertText.Say($"{given[option]} {Unit} is no temperature: {Meaning(answer.State)}; {Range}")));
            return null;
        }

        return Report(answer.Celsius, given[option], sensor, fromSignal: true);
    }

    public override ConvertReport? ToSignal(double celsius, IReadOnlyDictionary<string, double> given, List<InputError> errors)
    {
        if (!TryRead(given, errors, out var sensor))
        {
            return null;
        }

        var value = Transmitter.Signal(celsius, sensor);
        if (Transmitter.Read(value, sensor).State != TransmitterState.Measuring)
        {
            errors.Add(new(ConvertOptions.Celsius, ConvertText.Say($"{celsius} °C would be {value:0.####} {Unit} with {sensor.LowCelsius} to {sensor.HighCelsius} °C; {Range}")));
            return null;
        }

        return Report(celsius, value, sensor, fromSignal: false);
    }

    private static string Meaning(TransmitterState state) => state switch
    {
        TransmitterState.FailureLow or TransmitterState.FailureHigh => "the transmitter signals a failure of itself or its sensor",
        TransmitterState.LoopBroken => "no current flows: a wire is broken, or the loop has no supply",
        TransmitterState.Reversed => "the sign is wrong: two wires are exchanged",
        _ => "it is beyond what the transmitter can carry",
    };

    private bool TryRead(IReadOnlyDictionary<string, double> given, List<InputError> errors, out TransmitterSensor sensor)
    {
        sensor = new(signal, given[ConvertOptions.LowCelsius], given[ConvertOptions.HighCelsius]);
        foreach (var name in Needed.Where(name => given[name] is < ReadingRow.LowestCelsius or > ReadingRow.HighestCelsius))
        {
            errors.Add(new(name, ConvertText.Outside(given[name], ReadingRow.LowestCelsius, ReadingRow.HighestCelsius, "°C", Name)));
        }

        if (errors.Count == 0 && sensor.HighCelsius <= sensor.LowCelsius)
        {
            errors.Add(new(ConvertOptions.HighCelsius, ConvertText.Say($"{sensor.HighCelsius} °C is not above {ConvertOptions.LowCelsius} {sensor.LowCelsius} °C")));
        }

        return errors.Count == 0;
    }

    private ConvertReport Report(double celsius, double value, TransmitterSensor sensor, bool fromSignal)
    {
        var span = sensor.HighCelsius - sensor.LowCelsius;
        return new(Name, celsius, fromSignal)
        {
            SignalMa = _current ? value : null,
            SignalV = _current ? null : value,
            SensitivityMaPerC = _current ? 16 / span : null,
            SensitivityVPerC = _current ? null : 10 / span,
            Notes = _current ? [] : ["a broken wire to a 0 to 10 V input can read like the low end of the range"],
        };
    }
}
