using Acquire.Core;
using Acquire.Core.Thermometry;

namespace Acquire.Service.CommandLine.Converting;

/// <summary>Platinum thermometers: resistance of the sensor alone.</summary>
internal sealed class ConvertPlatinum(double r0Ohms) : ConvertSensor(ConvertText.Say($"Pt{r0Ohms}"))
{
    private const double Coldest = PlatinumThermometer.ColdestCelsius;
    private const double Hottest = PlatinumThermometer.HottestCelsius;

    public override IReadOnlyList<string> Signals => [ConvertOptions.Ohms, ConvertOptions.Kiloohms];

    public override ConvertReport? FromSignal(string option, IReadOnlyDictionary<string, double> given, List<InputError> errors)
    {
        var ohms = option == ConvertOptions.Ohms ? given[option] : given[option] * 1000;
        if (!PlatinumThermometer.TryCelsius(ohms, r0Ohms, out var celsius))
        {
            errors.Add(new(option, ConvertText.Say($"{ohms:0.####} ohm is not within {PlatinumThermometer.Ohms(Coldest, r0Ohms):0.####} to {PlatinumThermometer.Ohms(Hottest, r0Ohms):0.####} ohm, which is {Coldest} to {Hottest} °C for {Name}")));
            return null;
        }

        return Report(celsius, ohms, fromSignal: true);
    }

    public override ConvertReport? ToSignal(double celsius, IReadOnlyDictionary<string, double> given, List<InputError> errors)
    {
        var ohms = PlatinumThermometer.Ohms(celsius, r0Ohms);
        if (double.IsNaN(ohms))
        {
            errors.Add(new(ConvertOptions.Celsius, ConvertText.Outside(celsius, Coldest, Hottest, "°C", Name)));
            return null;
        }

        return Report(celsius, ohms, fromSignal: false);
    }

    private ConvertReport Report(double celsius, double ohms, bool fromSignal) => new(Name, celsius, fromSignal)
    {
        Ohms = ohms,
        SensitivityOhmPerC = PlatinumThermometer.OhmsPerCelsius(celsius, r0Ohms),
        Tolerances = [.. Enum.GetValues<PlatinumTolerance>().Select(tolerance => Tolerance(tolerance, celsius)).OfType<ConvertTolerance>()],
    };

    // Null where the class holds for neither kind of sensor.
    private static ConvertTolerance? Tolerance(PlatinumTolerance tolerance, double celsius)
    {
        var wire = Holds(tolerance, PlatinumElement.WireWound, celsius);
        var film = Holds(tolerance, PlatinumElement.Film, celsius);
        if (!wire && !film)
        {
            return null;
        }

        var element = wire && film ? "" : wire ? "wire-wound only, " : "film only, ";
        var origin = tolerance == PlatinumTolerance.C ? "value from memory" : "range of the class from memory";
        return new("IEC 60751", tolerance.ToString(), PlatinumThermometer.ToleranceCelsius(tolerance, celsius), element + origin);
    }

    private static bool Holds(PlatinumTolerance tolerance, PlatinumElement element, double celsius)
    {
        var (from, to) = PlatinumThermometer.ValidRange(tolerance, element);
        return celsius >= from && celsius <= to;
    }
}
