using Acquire.Core.Methods;
using Acquire.Core.Thermometry;

namespace Acquire.Simulator;

/// <summary>One tester of the demonstration with an invented specimen, again and again.</summary>
public sealed record DemoTester
{
    /// <summary>The tester's id, also its part of MQTT topics.</summary>
    public required string Id { get; init; }

    /// <summary>The tester's name on the page.</summary>
    public required string DisplayName { get; init; }

    /// <summary>The invented specimen.</summary>
    public required string Specimen { get; init; }

    /// <summary>Id of the method, from the catalogue.</summary>
    public required string MethodId { get; init; }

    /// <summary>Flash point about which the rounds scatter, °C.</summary>
    public required double FlashCelsius { get; init; }

    /// <summary>Fire point about which the rounds scatter, °C.</summary>
    public required double FireCelsius { get; init; }

    /// <summary>What the person expects, °C.</summary>
    public required double ExpectedFlashCelsius { get; init; }

    /// <summary>Pressure at the station, kPa.</summary>
    public required double StationPressureKilopascals { get; init; }

    /// <summary>Whether the tester reports its test flame.</summary>
    public bool HasFlameSignal { get; init; } = true;

    /// <summary>Whether its cup is worked by hand: it sends its thermometer alone, and whoever is at the page records what is seen.</summary>
    public bool IsGuided { get; init; }

    /// <summary>Temperature of cup and test portion at the start, °C; null as in <see cref="SimulatorOptions"/>.</summary>
    public double? StartCelsius { get; init; }

    /// <summary>How many times faster than real it goes at most: a hand-worked cup must leave a person the time for a key.</summary>
    public double FastestSpeed { get; init; } = SpeakingSpeed.Most;

    /// <summary>What the tester sends of its thermometer.</summary>
    public ThermometerChain Thermometer { get; init; } = ThermometerChain.Plain;

    /// <summary>A heating fault that comes in every third round, from the second on; null for a tester without one.</summary>
    public HeatingExcursion? Fault { get; init; }

    /// <summary>Own time recorded after the heater is off, s: enough for a run with a fire point to close by itself.</summary>
    public double CoolingSeconds { get; init; } = 60;

    /// <summary>Own time at rest between two rounds, s.</summary>
    public double PauseSeconds { get; init; } = 120;

    /// <summary>What the person would find: the run of a round, 0 and up. The same seed and round give the same run.</summary>
    public SimulatorOptions Options(int round, ulong seed)
    {
        if (!MethodCatalog.TryFind(MethodId, out var method))
        {
            throw new InvalidOperationException(MethodCatalog.Unknown("methodId", MethodId).ToString());
        }

        var random = new SimulatorRandom(Mix(seed, round), RandomPurpose.Rounds);
        var shift = Math.Round(1.2 * Math.Clamp(random.NextGaussian(), -2, 2), 1);
        return new()
        {
            Method = method,
            FlashCelsius = FlashCelsius + shift,
            FireCelsius = FireCelsius + shift,
            ExpectedFlashCelsius = ExpectedFlashCelsius,
            StationPressureKilopascals = StationPressureKilopascals,
            HasFlameSignal = HasFlameSignal && !IsGuided,
            Analyst = IsGuided ? new() : null,
            StartCelsius = StartCelsius,
            ShortBurns = true,
            Thermometer = new() { Chain = Thermometer },
            CoolingSeconds = CoolingSeconds,
            Excursion = round % 3 == 1 ? Fault : null,
            LeadInSeconds = round == 0 ? 10 : PauseSeconds,
            Seed = random.NextBits(),
        };
    }

    /// <summary>string.GetHashCode differs from process to process, so the id is folded in by FNV-1a.</summary>
    private ulong Mix(ulong seed, int round)
    {
        unchecked
        {
            var hash = 14695981039346656037UL ^ seed;
            foreach (var letter in Id)
            {
                hash = (hash ^ letter) * 1099511628211UL;
            }

            return (hash ^ (ulong)round) * 1099511628211UL;
        }
    }
}
