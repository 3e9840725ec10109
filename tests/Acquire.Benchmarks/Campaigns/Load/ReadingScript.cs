namespace Acquire.Benchmarks.Campaigns.Load;

/// <summary>What a tester reads at one moment.</summary>
/// <param name="TemperatureCelsius">Temperature, °C.</param>
/// <param name="Detector">Ignition detector, in its own unit.</param>
/// <param name="FlameOver">Whether the test flame is over the cup.</param>
internal readonly record struct ScriptReading(double TemperatureCelsius, double Detector, bool FlameOver);

/// <summary>The readings of a run that goes on: a ramp of 5.5 °C/min in which the test flame passes every 2 °C, and nothing flashes.</summary>
internal static class ReadingScript
{
    /// <summary>Expected flash point that is booked in, °C. The ramp begins where the first application is due.</summary>
    public const double ExpectedCelsius = 240;

    /// <summary>Method that is booked in.</summary>
    public const string Method = "iso-2592-2017";

    private const double StartCelsius = ExpectedCelsius - 25;
    private const double CelsiusPerSecond = 5.5 / 60;
    private const double PassEachSeconds = 2 / CelsiusPerSecond;
    private const int Drawn = 8192;
    private static readonly double[] Noise = Draw();

    /// <summary>The reading of a tester at a moment of its run.</summary>
    /// <param name="runSeconds">Time since the run began, s.</param>
    /// <param name="number">Number of the reading in the run.</param>
    /// <param name="tester">Number of the tester.</param>
    public static ScriptReading At(double runSeconds, long number, int tester)
    {
        var draw = (int)((number + (tester * 977L)) % Drawn);
        var flame = (runSeconds + (tester * 0.37)) % PassEachSeconds < 1;
        return new(
            StartCelsius + (CelsiusPerSecond * runSeconds) + (0.02 * Noise[draw]),
            0.3 + (0.002 * Noise[(draw + 4001) % Drawn]) + (flame ? 0.02 : 0),
            flame);
    }

    private static double[] Draw()
    {
        var random = new CampaignRandom(20_261_126);
        return [.. Enumerable.Range(0, Drawn).Select(_ => random.Normal())];
    }
}
