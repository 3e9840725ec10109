using Acquire.Core.Control;

namespace Acquire.Core.Tests.Control;

/// <summary>A metal block with its heater for these tests alone, drawn at random from a number: heat capacity 1200 J/K ×0.35 to 2.4, losses 0.4 W/K ×0.5 to 2, dead time 2 to 10 s, heater lag 3 to 30 s, thermometer lag 2 to 30 s, 2 to 10 readings a second.</summary>
/// <remarks>
/// Heater, block, and the pocket in it where the thermometer sits; explicit Euler, 0.1 s. All figures assumed, no source. The heater
/// warms the block by 8 to 30 °C/min from room temperature, or holds its hottest set temperature twice over, whichever is more.
/// </remarks>
internal sealed class BlockDraw
{
    public const double StepSeconds = 0.1;

    private const double PocketCapacity = 60;

    private readonly Random _random;
    private readonly Queue<double> _underWay = new();
    private readonly double _capacity, _loss, _intoPocket, _heaterLag, _thermometerLag;
    private double _watts, _block, _pocket;

    public BlockDraw(int seed, Knowledge knowledge)
    {
        // Neighbouring seeds of this generator begin alike.
        _random = new Random(seed * 7919);
        _capacity = 1200 * Scale(0.35, 2.4);
        _loss = 0.4 * Scale(0.5, 2);
        _intoPocket = 8 * Scale(0.5, 2);
        _heaterLag = Scale(3, 30);
        _thermometerLag = Scale(2, 30);
        var dead = Between(2, 10);
        AmbientCelsius = Between(18, 28);
        SetCelsius = Math.Round(Scale(45, 250));
        MaxWatts = Math.Max((_capacity + PocketCapacity) * Scale(8, 30) / 60, 2 * LossWatts(SetCelsius + 10));
        _block = _pocket = ShownCelsius = AmbientCelsius;
        for (var i = 0; i < (int)Math.Round(dead / StepSeconds); i++)
        {
            _underWay.Enqueue(0);
        }

        StepsPerReading = (int)Math.Round(Scale(1, 5));
        Model = knowledge == Knowledge.None ? HeaterModel.Unknown : new()
        {
            MaxPowerWatts = MaxWatts,
            ThermalCapacityJoulesPerKelvin = (_capacity + PocketCapacity) * Wrong(knowledge),
            LossWattsPerKelvin = LossWatts(AmbientCelsius + 100) / 100 * Wrong(knowledge),
            DeadTimeSeconds = dead * Wrong(knowledge),
            LagSeconds = _thermometerLag * Wrong(knowledge),
        };
    }

    public double AmbientCelsius { get; }

    /// <summary>First set temperature, °C.</summary>
    public double SetCelsius { get; }

    public double MaxWatts { get; }

    public int StepsPerReading { get; }

    public HeaterModel Model { get; }

    /// <summary>What the thermometer would show without noise, °C.</summary>
    public double ShownCelsius { get; private set; }

    /// <summary>A cold portion takes so much heat from the block, J.</summary>
    /// <returns>By how much it cools the block, °C.</returns>
    public double Charge(double joules)
    {
        _block -= joules / _capacity;
        return joules / _capacity;
    }

    public void Step(double fraction)
    {
        _underWay.Enqueue(fraction * MaxWatts);
        _watts += (_underWay.Dequeue() - _watts) * StepSeconds / _heaterLag;
        var intoPocket = _intoPocket * (_block - _pocket);
        _block += StepSeconds * (_watts - intoPocket - LossWatts(_block)) / _capacity;
        _pocket += StepSeconds * intoPocket / PocketCapacity;
        ShownCelsius += StepSeconds * (_pocket - ShownCelsius) / _thermometerLag;
    }

    /// <summary>Noise 0.05 °C, resolution 0.1 °C.</summary>
    public double Read()
    {
        var gauss = Math.Sqrt(-2 * Math.Log(1 - _random.NextDouble())) * Math.Cos(2 * Math.PI * _random.NextDouble());
        return Math.Round((ShownCelsius + (0.05 * gauss)) * 10) / 10;
    }

    private double LossWatts(double celsius) => _loss * (celsius - AmbientCelsius) * (1 + (Math.Max(0, celsius - AmbientCelsius) / 250));

    private double Wrong(Knowledge knowledge) =>
        knowledge == Knowledge.Good ? Between(0.85, 1.15) : 1 + (Between(0.15, 0.5) * (_random.Next(2) == 0 ? 1 : -1));

    private double Between(double from, double to) => from + ((to - from) * _random.NextDouble());

    private double Scale(double from, double to) => from * Math.Pow(to / from, _random.NextDouble());
}
