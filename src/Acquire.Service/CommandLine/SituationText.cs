using System.Globalization;
using Acquire.Simulator;

namespace Acquire.Service.CommandLine;

/// <summary>A situation in words.</summary>
internal static class SituationText
{
    public static void Write(Situation situation, TextWriter output)
    {
        var run = situation.Options(1);
        output.WriteLine(situation.Name);
        output.WriteLine($"  happens      {situation.Happens}");
        output.WriteLine($"  you see      {situation.See}");
        output.WriteLine($"  you do       {situation.Do}");
        if (situation.Caution is { } caution)
        {
            output.WriteLine($"  CAUTION      {caution}");
        }

        output.WriteLine($"  conclusion   {situation.Expected}");
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"  run          {run.Method.Id}, flash point {run.FlashCelsius} °C{(run.FireCelsius is { } fire ? string.Create(CultureInfo.InvariantCulture, $", fire point {fire} °C") : "")}, expected {run.Expected} °C, {run.StationPressureKilopascals} kPa, {(run.TwoDetectors ? "two detectors" : "one detector")}"));
        foreach (var one in run.Disturbances)
        {
            output.WriteLine($"  disturbance  {one.Facts.Word}: {one.Facts.What}{Strength(one)}");
        }

        output.WriteLine($"  play         acquire simulate --situation {situation.Name} --out {situation.Name}.csv");
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"  judge        acquire replay {situation.Name}.csv --method {run.Method.Id} --expected-flash {run.Expected} --pressure-kpa {run.StationPressureKilopascals}{(run.Thermometer.Chain.IsPlain ? "" : $" --thermometer {situation.Name}.thermometer.json")}"));
        output.WriteLine("Simulated: specimen and figures are invented. A cup that was heated is hot, and this software is no safety device.");
    }

    private static string Strength(Disturbance one) => one.Facts.Strength.Length == 0 ? "" : string.Create(CultureInfo.InvariantCulture, $" ({one.Facts.Strength}: {one.StrengthOrUsual})");
}
