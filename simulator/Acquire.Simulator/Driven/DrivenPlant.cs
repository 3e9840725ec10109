using System.Globalization;
using System.Text.Json.Serialization;
using Acquire.Core;
using Acquire.Core.Control;
using Acquire.Core.Methods;

namespace Acquire.Simulator;

/// <summary>What is heated in a driven tester.</summary>
[JsonConverter(typeof(JsonStringEnumConverter<DrivenPlantKind>))]
public enum DrivenPlantKind
{
    /// <summary>An open cup on a plate.</summary>
    [JsonStringEnumMemberName("open-cup")]
    OpenCup,

    /// <summary>A closed, stirred cup on a plate.</summary>
    [JsonStringEnumMemberName("closed-cup")]
    ClosedCup,

    /// <summary>A cup in a stirred bath that the heater warms.</summary>
    [JsonStringEnumMemberName("bath")]
    Bath,

    /// <summary>A small cup in a metal block that the heater warms and a thermometer sits in.</summary>
    [JsonStringEnumMemberName("block")]
    Block,
}

/// <summary>Heater, cup and bath of a driven tester. Factors are of the usual figures, which are assumed: see the simulator's page of the documentation.</summary>
public sealed record DrivenPlant
{
    /// <summary>What is heated.</summary>
    public required DrivenPlantKind Kind { get; init; }

    /// <summary>Heat capacity of the metal, 0.25 to 4 of the usual 405 J/K of plate and cup, or 1260 J/K of a block with its cup.</summary>
    public double ThermalMass { get; init; } = 1;

    /// <summary>Quantity of the test portion, 0.5 to 1.5 of 70 mL.</summary>
    public double Portion { get; init; } = 1;

    /// <summary>Losses to the room, 0 to 4 of the usual ones.</summary>
    public double Loss { get; init; } = 1;

    /// <summary>Conductances from the plate to the cup and from the cup to the oil, 0.5 to 2 of the usual 8 and 1.6 W/K (2.5 W/K stirred).</summary>
    public double Contact { get; init; } = 1;

    /// <summary>Heat capacity of the bath with its heater, J/K, 500 to 10,000; not used without one.</summary>
    public double BathJoulesPerKelvin { get; init; } = 2000;

    /// <summary>From the command to the first warmth in the heater, s, 0 to 20.</summary>
    public double DeadTimeSeconds { get; init; } = 4;

    /// <summary>Lag of the heater element, s, 1 to 60.</summary>
    public double HeaterLagSeconds { get; init; } = 5;

    /// <summary>Quantity of a portion that is charged into a block, 1 for 70 mL, from its volume, mL.</summary>
    internal static double ShareOf(double millilitres) => millilitres / 70;

    /// <summary>Power at a command of 1, W, 10 to 10,000.</summary>
    public double MaxWatts { get; init; } = Apparatus.HeaterWatts;

    /// <summary>The usual tester for a method.</summary>
    public static DrivenPlant For(MethodDefinition method)
    {
        ArgumentNullException.ThrowIfNull(method);
        return new()
        {
            MaxWatts = method.Procedure == ProcedureKind.Equilibrium ? HeatFigures.Block.HeaterWatts : Apparatus.HeaterWatts,
            Kind = method.Procedure == ProcedureKind.Equilibrium ? DrivenPlantKind.Block
                : method.Heating != HeatingKind.Direct ? DrivenPlantKind.Bath
                : method.Cup == CupKind.Closed ? DrivenPlantKind.ClosedCup
                : DrivenPlantKind.OpenCup,
        };
    }

    /// <summary>What is out of range, by name.</summary>
    public IReadOnlyList<InputError> Check(string path)
    {
        var errors = new List<InputError>();
        Within(errors, path + ".thermalMass", ThermalMass, 0.25, 4);
        Within(errors, path + ".portion", Portion, 0.5, 1.5);
        Within(errors, path + ".loss", Loss, 0, 4);
        Within(errors, path + ".contact", Contact, 0.5, 2);
        Within(errors, path + ".bathJoulesPerKelvin", BathJoulesPerKelvin, 500, 10_000);
        Within(errors, path + ".deadTimeSeconds", DeadTimeSeconds, 0, 20);
        Within(errors, path + ".heaterLagSeconds", HeaterLagSeconds, 1, 60);
        Within(errors, path + ".maxWatts", MaxWatts, 10, 10_000);
        return errors;
    }

    /// <summary>Heat capacity of all that is heated where it has one temperature, J/K.</summary>
    /// <param name="celsius">The temperature, °C.</param>
    public double CapacityJoulesPerKelvin(double celsius)
    {
        var figures = Figures(HeatModel.StepSeconds);
        return figures.BodyCapacity + figures.CupCapacity + (figures.OilShare * Apparatus.OilCapacity(celsius));
    }

    /// <summary>Power that holds a rate once it has settled, W.</summary>
    /// <param name="celsius">Temperature of the specimen, °C.</param>
    /// <param name="perMinute">The rate, °C/min.</param>
    /// <param name="ambientCelsius">Temperature of the room, °C.</param>
    public double NeededWatts(double celsius, double perMinute, double ambientCelsius)
    {
        var figures = Figures(HeatModel.StepSeconds);
        var rate = perMinute / 60;
        var needed = (figures.OilShare * Apparatus.OilCapacity(celsius) * rate) + (figures.OilLossShare * Apparatus.OilLoss(celsius, ambientCelsius));
        var cup = celsius + (needed / CupToOil(Kind == DrivenPlantKind.ClosedCup));
        needed += (figures.CupCapacity * rate) + (figures.CupLossShare * Apparatus.CupLoss(cup, ambientCelsius));
        var body = cup + (needed / figures.BodyToCup);
        return needed + (figures.BodyCapacity * rate) + (figures.BodyLossShare * Apparatus.PlateLoss(body, ambientCelsius));
    }

    /// <summary>What a laboratory that has measured its tester would state of it.</summary>
    /// <param name="run">The specimen, the thermometer and the room.</param>
    /// <param name="wrong">What each figure is multiplied by, asked anew for each; null where all are right.</param>
    public HeaterModel Described(SimulatorOptions run, Func<double>? wrong = null)
    {
        ArgumentNullException.ThrowIfNull(run);
        double Stated(double figure, double least, double most) => Math.Clamp(figure * (wrong?.Invoke() ?? 1), least, most);
        return new()
        {
            MaxPowerWatts = MaxWatts,
            ThermalCapacityJoulesPerKelvin = Stated(CapacityJoulesPerKelvin(run.Expected - 40), 20, 50_000),
            LossWattsPerKelvin = Stated(NeededWatts(run.AmbientCelsius + 100, 0, run.AmbientCelsius) / 100, 0.01, 50),
            DeadTimeSeconds = Stated(DeadTimeSeconds, 0, 20),
            LagSeconds = Stated(run.Thermometer.LagSeconds, 0, 60),
            AmbientCelsius = run.AmbientCelsius,
        };
    }

    /// <summary>Cup to oil, W/K.</summary>
    internal double CupToOil(bool stirred) => Contact * Usual.Conductance(stirred);

    private HeatFigures Usual => Kind switch
    {
        DrivenPlantKind.OpenCup => HeatFigures.OpenCup,
        DrivenPlantKind.ClosedCup => HeatFigures.ClosedCup,
        DrivenPlantKind.Bath => HeatFigures.Bath,
        _ => HeatFigures.Block,
    };

    internal HeatFigures Figures(double stepSeconds)
    {
        var usual = Usual;
        return usual with
        {
            BodyCapacity = Kind == DrivenPlantKind.Bath ? BathJoulesPerKelvin : usual.BodyCapacity * ThermalMass,
            CupCapacity = usual.CupCapacity * ThermalMass,
            BodyToCup = usual.BodyToCup * Contact,
            CupToOil = usual.CupToOil * Contact,
            StirredCupToOil = usual.StirredCupToOil * Contact,
            OilShare = usual.OilShare * Portion,
            BodyLossShare = usual.BodyLossShare * Loss,
            CupLossShare = usual.CupLossShare * Loss,
            OilLossShare = usual.OilLossShare * Loss,
            HeaterLagSeconds = HeaterLagSeconds,
            HeaterDeadSeconds = DeadTimeSeconds,
            HeaterWatts = MaxWatts,
            StepSeconds = stepSeconds,
        };
    }

    internal static void Within(List<InputError> errors, string path, double value, double least, double most)
    {
        if (!(value >= least && value <= most))
        {
            errors.Add(new(path, string.Create(CultureInfo.InvariantCulture, $"{value:0.####} is not within {least} to {most}")));
        }
    }
}
