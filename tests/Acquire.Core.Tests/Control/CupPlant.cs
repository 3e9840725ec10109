namespace Acquire.Core.Tests.Control;

/// <summary>A heated cup for these tests alone: heater with dead time and lag, plate, cup or bath, oil, thermometer.</summary>
/// <remarks>
/// Lumped nodes by explicit Euler, 0.1 s. Base figures (plate 270 J/K, brass cup 135 J/K, 70 mL of oil with c_p 1.8 + 0.0037 (t − 15) J/(g K),
/// contacts 8 and 1.6 W/K) are assumed for an open cup, no source; each is scaled at random by <see cref="CupDraw"/>. Losses are natural
/// convection, 7 W/(m² K) at 100 °C excess (handbook form, value from memory), and radiation.
/// </remarks>
internal sealed class CupPlant
{
    public const double StepSeconds = 0.1;

    private const double PlateCapacity = 270, CupCapacity = 135, OilGrams = 61.6;
    private const double BathHeaterCapacity = 200, HeaterToBath = 30;

    private readonly Queue<double> _underWay = new();
    private double _watts, _plate, _bath, _cup, _oil;

    /// <summary>Scales plate and cup.</summary>
    public double Metal { get; init; } = 1;

    public double Oil { get; init; } = 1;

    public double Loss { get; init; } = 1;

    /// <summary>Plate, or bath, to cup, W/K.</summary>
    public double IntoCup { get; init; } = 8;

    /// <summary>Cup to oil, W/K.</summary>
    public double IntoOil { get; init; } = 1.6;

    /// <summary>Heat capacity of a bath between heater and cup, J/K; 0 without.</summary>
    public double BathCapacity { get; init; }

    public double DeadSeconds { get; init; } = 4;

    public double HeaterLagSeconds { get; init; } = 5;

    public double ThermometerLagSeconds { get; init; } = 10;

    public double MaxWatts { get; set; } = 700;

    public double AmbientCelsius { get; init; } = 23;

    /// <summary>What a perfect thermometer with this lag would show, °C.</summary>
    public double ShownCelsius { get; private set; }

    public void Start(double celsius)
    {
        _plate = _bath = _cup = _oil = ShownCelsius = celsius;
        for (var i = 0; i < (int)Math.Round(DeadSeconds / StepSeconds); i++)
        {
            _underWay.Enqueue(0);
        }
    }

    public void Step(double fraction)
    {
        _underWay.Enqueue(fraction * MaxWatts);
        _watts += (_underWay.Dequeue() - _watts) * StepSeconds / HeaterLagSeconds;
        var intoOil = IntoOil * (_cup - _oil);
        var oil = (intoOil - OilLoss(_oil)) / OilCapacity(_oil);
        if (BathCapacity > 0)
        {
            var intoBath = HeaterToBath * (_plate - _bath);
            var intoCup = IntoCup * (_bath - _cup);
            _plate += StepSeconds * (_watts - intoBath) / BathHeaterCapacity;
            _bath += StepSeconds * (intoBath - intoCup - BathLoss(_bath)) / BathCapacity;
            _cup += StepSeconds * (intoCup - intoOil - CupLoss(_cup)) / (CupCapacity * Metal);
        }
        else
        {
            var intoCup = IntoCup * (_plate - _cup);
            _plate += StepSeconds * (_watts - intoCup - PlateLoss(_plate)) / (PlateCapacity * Metal);
            _cup += StepSeconds * (intoCup - intoOil - CupLoss(_cup)) / (CupCapacity * Metal);
        }

        _oil += StepSeconds * oil;
        ShownCelsius += StepSeconds * (_oil - ShownCelsius) / ThermometerLagSeconds;
    }

    /// <summary>Power that holds a rate where the oil has a temperature, W.</summary>
    public double NeededWatts(double celsius, double perMinute)
    {
        var rate = perMinute / 60;
        var needed = (OilCapacity(celsius) * rate) + OilLoss(celsius);
        var cup = celsius + (needed / IntoOil);
        needed += (CupCapacity * Metal * rate) + CupLoss(cup);
        var next = cup + (needed / IntoCup);
        return needed + (BathCapacity > 0
            ? ((BathCapacity + BathHeaterCapacity) * rate) + BathLoss(next)
            : (PlateCapacity * Metal * rate) + PlateLoss(next));
    }

    /// <summary>All that is heated, J/K.</summary>
    public double Capacity(double celsius) =>
        OilCapacity(celsius) + (CupCapacity * Metal) + (BathCapacity > 0 ? BathCapacity + BathHeaterCapacity : PlateCapacity * Metal);

    private double OilCapacity(double celsius) => OilGrams * Oil * (1.8 + (0.0037 * (celsius - 15)));

    private double PlateLoss(double celsius) => Lost(0.018, 0.6, celsius);

    private double BathLoss(double celsius) => Lost(0.06, 0.5, celsius);

    private double CupLoss(double celsius) => Lost(BathCapacity > 0 ? 0.002 : 0.0075, 0.4, celsius);

    private double OilLoss(double celsius) => Lost(BathCapacity > 0 ? 0.001 : 0.00317, 0.93, celsius);

    private double Lost(double squareMetres, double emissivity, double celsius)
    {
        var excess = celsius - AmbientCelsius;
        var convection = 7 * Math.Pow(Math.Abs(excess) / 100, 0.25) * excess;
        var radiation = 5.67e-8 * emissivity * (Math.Pow(celsius + 273.15, 4) - Math.Pow(AmbientCelsius + 273.15, 4));
        return Loss * squareMetres * (convection + radiation);
    }
}
