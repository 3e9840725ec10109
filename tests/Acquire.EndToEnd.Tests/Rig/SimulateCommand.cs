using System.Globalization;
using Acquire.Simulator;
using Xunit;

namespace Acquire.EndToEnd.Tests.Rig;

/// <summary>Starts `acquire simulate` and reads the truth that it prints.</summary>
internal static class SimulateCommand
{
    /// <summary>Starts a simulated tester on a wire.</summary>
    public static ChildProcess Speak(SimulatorOptions specimen, params string[] wire) =>
        AcquireProgram.Start([.. Arguments(specimen), .. wire, "--speed", Text(Specimens.Speed)]);

    /// <summary>Waits until it has said everything; the run as it was, with its truth.</summary>
    public static async Task<SimulatedRun> SaidAsync(ChildProcess tester)
    {
        var code = await tester.EndAsync(Waiting.RunSeconds);
        Assert.True(code == 0, $"simulate ended with {code}: {tester.Error}");
        return new(TraceWriter.ParseTruth(tester.Output).Options);
    }

    /// <summary>The command line of a specimen.</summary>
    public static IEnumerable<string> Arguments(SimulatorOptions specimen) =>
    [
        "simulate", "--method", specimen.Method.Id, "--flash", Text(specimen.FlashCelsius), "--fire", Text(specimen.FireCelsius!.Value),
        "--expected-flash", Text(specimen.Expected), "--pressure-kpa", Text(specimen.StationPressureKilopascals), "--seed", Text(specimen.Seed),
    ];

    private static string Text(IFormattable number) => number.ToString(null, CultureInfo.InvariantCulture);
}
