using Acquire.Core.Control;
using Acquire.Core.Methods;

namespace Acquire.Core.Tests.Control;

/// <summary>What kind of cup is heated, and how.</summary>
internal enum CupKind
{
    /// <summary>15, then 5.5 °C/min; the start band is 5 to 17 °C/min, as in the two methods that come with the program.</summary>
    Open,

    /// <summary>The same where the start band is 14 to 17 °C/min, so that heat may be eased only 56 °C below.</summary>
    OpenNarrowStart,

    /// <summary>5.5 °C/min from the start.</summary>
    Closed,

    /// <summary>1 °C/min in a bath.</summary>
    SlowBath,

    /// <summary>3 °C/min in a bath.</summary>
    Bath,
}

/// <summary>How well the heater model that the controller is given fits.</summary>
internal enum Knowledge
{
    /// <summary>Each figure wrong by up to 15 %.</summary>
    Good,

    /// <summary>Each figure wrong by 15 to 50 %.</summary>
    Poor,

    /// <summary>No figure given.</summary>
    None,
}

/// <summary>A cup, drawn at random from a number: heat capacity of the metal ×0.35 to 2.4 (of the whole about a factor of 4), losses ×0.5 to 2, dead time 2 to 10 s, thermometer lag 2 to 30 s, heater 1.2 to 4 times as strong as needed, 2 to 10 readings a second.</summary>
internal sealed class CupDraw
{
    private readonly Random _random;

    public CupDraw(int seed, CupKind kind, Knowledge knowledge)
    {
        _random = new Random(seed);
        Kind = kind;
        RatePerMinute = kind switch { CupKind.SlowBath => 1, CupKind.Bath => 3, _ => 5.5 };
        ExpectedCelsius = kind switch
        {
            CupKind.Open or CupKind.OpenNarrowStart => Between(130, 320),
            CupKind.Closed => Between(70, 250),
            CupKind.SlowBath => Between(45, 60),
            _ => Between(75, 93),
        };
        Plan = HeatingPlan.For(MethodOf(kind), ExpectedCelsius);
        var bath = kind is CupKind.SlowBath or CupKind.Bath;
        Plant = new CupPlant
        {
            Metal = bath ? Scale(0.3, 1) : Scale(0.35, 2.4),
            Oil = Between(0.9, 1.1),
            Loss = Scale(0.5, 2),
            IntoCup = 8 * Scale(0.7, 1.4),
            IntoOil = (kind is CupKind.Open or CupKind.OpenNarrowStart ? 1.6 : 2.5) * Scale(0.7, 1.4),
            BathCapacity = bath ? Scale(1000, 4000) : 0,
            DeadSeconds = Between(2, 10),
            HeaterLagSeconds = Between(3, 10),
            ThermometerLagSeconds = Scale(2, 30),
            AmbientCelsius = Between(18, 30),
        };
        var start = Plan.Segments[0].TargetCelsiusPerMinute;
        Plant.MaxWatts = Math.Max(Plant.NeededWatts(ExpectedCelsius - 50, start), Plant.NeededWatts(ExpectedCelsius + 30, RatePerMinute)) * Scale(1.2, 4);
        StartCelsius = Math.Min(Plant.AmbientCelsius, ExpectedCelsius - 30);
        Plant.Start(StartCelsius);
        StepsPerReading = (int)Math.Round(Scale(1, 5));
        Model = knowledge == Knowledge.None ? HeaterModel.Unknown : Given(knowledge);
    }

    public CupKind Kind { get; }

    public double RatePerMinute { get; }

    public double ExpectedCelsius { get; }

    public double StartCelsius { get; }

    public HeatingPlan Plan { get; }

    public HeaterModel Model { get; }

    public CupPlant Plant { get; }

    public int StepsPerReading { get; }

    /// <summary>Noise 0.05 °C, resolution 0.1 °C.</summary>
    public double Read()
    {
        var gauss = Math.Sqrt(-2 * Math.Log(1 - _random.NextDouble())) * Math.Cos(2 * Math.PI * _random.NextDouble());
        return Math.Round((Plant.ShownCelsius + (0.05 * gauss)) * 10) / 10;
    }

    private HeaterModel Given(Knowledge knowledge) => new()
    {
        MaxPowerWatts = Plant.MaxWatts,
        ThermalCapacityJoulesPerKelvin = Plant.Capacity(ExpectedCelsius - 40) * Wrong(knowledge),
        LossWattsPerKelvin = Plant.NeededWatts(Plant.AmbientCelsius + 100, 0) / 100 * Wrong(knowledge),
        DeadTimeSeconds = Plant.DeadSeconds * Wrong(knowledge),
        LagSeconds = Plant.ThermometerLagSeconds * Wrong(knowledge),
    };

    private double Wrong(Knowledge knowledge) =>
        knowledge == Knowledge.Good ? Between(0.85, 1.15) : 1 + (Between(0.15, 0.5) * (_random.Next(2) == 0 ? 1 : -1));

    private double Between(double from, double to) => from + ((to - from) * _random.NextDouble());

    private double Scale(double from, double to) => from * Math.Pow(to / from, _random.NextDouble());

    private static MethodDefinition MethodOf(CupKind kind)
    {
        var method = MethodCatalog.All.First(known => known.Ramp?.ControlledFromBelowExpectedCelsius == 28);
        return kind switch
        {
            CupKind.Open => method,
            CupKind.OpenNarrowStart => method with { Ramp = method.Ramp! with { FastHeatingCelsiusPerMinute = new(14, 17) } },
            CupKind.Closed => Constant(method, new(5, 6)),
            CupKind.SlowBath => Constant(method, new(0.75, 1.25)),
            _ => Constant(method, new(2.5, 3.5)),
        };
    }

    private static MethodDefinition Constant(MethodDefinition method, RateBand band) => method with
    {
        Ramp = method.Ramp! with { FastHeatingCelsiusPerMinute = band, ControlledHeatingCelsiusPerMinute = band, EaseBelowExpectedCelsius = 28 },
    };
}
