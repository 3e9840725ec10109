using System.Globalization;
using Acquire.Simulator;
using Xunit;

namespace Acquire.EndToEnd.Tests.Rig;

/// <summary>Runs `acquire replay` on one trace.</summary>
internal static class ReplayCommand
{
    /// <summary>What the program says of a trace, with the figures that a simulated specimen was booked in with.</summary>
    public static async Task<ReplayAnswer> JudgeAsync(string trace, SimulatorOptions specimen)
    {
        var ended = await AcquireProgram.RunAsync(
            "replay", trace, "--method", specimen.Method.Id, "--json",
            "--expected-flash", specimen.Expected.ToString(CultureInfo.InvariantCulture),
            "--pressure-kpa", specimen.StationPressureKilopascals.ToString(CultureInfo.InvariantCulture));
        Assert.True(ended.Code is 0 or 1, $"replay ended with {ended.Code}: {ended.Error}");
        return ReplayAnswer.Read(ended.Output);
    }
}
