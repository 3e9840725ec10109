namespace Acquire.Simulator;

/// <summary>An invented laboratory with testers, each with something to see: three that run by themselves, one that waits to be driven, one that is worked by hand.</summary>
public static class DemoLaboratory
{
    // Pressure at the foot of a hill: low enough that the correction shows in the report.
    private const double StationKilopascals = 98.6;

    /// <summary>The testers, in the order of the page. The second sends the emf of a thermocouple, the others °C.</summary>
    /// <param name="day">A day on which the thermocouple's invented certificate is in force, and for eight months more.</param>
    public static IReadOnlyList<DemoTester> TestersOn(DateOnly day) =>
    [
        new()
        {
            Id = "bench-1",
            DisplayName = "Bench 1",
            Specimen = "Base oil Halden 150, drum 12",
            MethodId = "iso-2592-2017",
            FlashCelsius = 226,
            FireCelsius = 252,
            ExpectedFlashCelsius = 226,
            StationPressureKilopascals = StationKilopascals,
        },
        new()
        {
            Id = "bench-2",
            DisplayName = "Bench 2",
            Specimen = "Gear oil Brenna 220, lot 4",
            MethodId = "astm-d92-18",
            FlashCelsius = 206,
            FireCelsius = 232,
            ExpectedFlashCelsius = 208,
            StationPressureKilopascals = StationKilopascals,
            Fault = new(26, 12, 8.5),
            Thermometer = ThermometerPresets.MicrovoltsOfTypeK(day),
        },
        new()
        {
            Id = "bench-3",
            DisplayName = "Bench 3",
            Specimen = "Used engine oil, generator 3, fuel dilution suspected",
            MethodId = "iso-2592-2017",
            FlashCelsius = 178,
            FireCelsius = 206,
            ExpectedFlashCelsius = 190,
            StationPressureKilopascals = StationKilopascals,
            HasFlameSignal = false,
        },
        new()
        {
            Id = "bench-5",
            DisplayName = "Bench 5, by hand",
            Specimen = "Heat oil Solli 32 (invented: flashes from 206 °C, burns from 228 °C)",
            MethodId = "iso-2592-2017",
            FlashCelsius = 206,
            FireCelsius = 228,
            ExpectedFlashCelsius = 206,
            StationPressureKilopascals = StationKilopascals,
            HasFlameSignal = false,
            IsGuided = true,
            StartCelsius = 145,
            PauseSeconds = 60,
            FastestSpeed = 3,
        },
    ];

    /// <summary>The tester that is driven: a person starts a run on it and turns its heater on.</summary>
    public static DemoTester Driven { get; } = new()
    {
        Id = "bench-4",
        DisplayName = "Bench 4, driven",
        Specimen = "Process oil Tverra 7, drum 3",
        MethodId = "iso-2592-2017",
        FlashCelsius = 112,
        FireCelsius = 123,
        ExpectedFlashCelsius = 112,
        StationPressureKilopascals = StationKilopascals,
    };

    /// <summary>The most seconds of the cup of the driven tester that pass in one second. Faster, a busy machine leads the flame late; even so it may, see docs/simulator.md.</summary>
    public const double FastestDriven = 5;
}
