using System.Globalization;
using Acquire.Core.Methods;

namespace Acquire.Service.CommandLine;

/// <summary>A method in words.</summary>
internal static class MethodText
{
    public static void Write(MethodDefinition m, TextWriter writer)
    {
        void Line(FormattableString text) => writer.WriteLine(text.ToString(CultureInfo.InvariantCulture));
        Line($"{m.Id}: {m.Title}");
        Line($"  The text of {m.Standard} rules; these are figures from it.");
        Line($"  cup          {m.Apparatus.Cup}");
        Line($"  fill         {m.Apparatus.Fill}");
        Line($"  test flame   {m.Apparatus.TestFlame}");
        Line($"  scope        flash points {m.FlashScopeCelsius.From} to {m.FlashScopeCelsius.To} °C");
        Line($"  start        at least {m.Ramp.StartAtLeastBelowExpectedCelsius} °C below the expected flash point");
        Line($"  fast heating {m.Ramp.FastHeatingCelsiusPerMinute.From} to {m.Ramp.FastHeatingCelsiusPerMinute.To} °C/min, until {m.Ramp.EaseBelowExpectedCelsius} °C below");
        Line($"  controlled   {m.Ramp.ControlledHeatingCelsiusPerMinute.From} to {m.Ramp.ControlledHeatingCelsiusPerMinute.To} °C/min, from {m.Ramp.ControlledFromBelowExpectedCelsius} °C below on");
        Line($"  applications first {m.Applications.FirstBelowExpectedCelsius} °C below (at the latest {m.Applications.FirstAtLatestBelowExpectedCelsius}), every {m.Applications.IntervalCelsius} °C, about {m.Applications.PassSeconds} s each");
        Line($"  fire point   burns for at least {m.FirePoint.SustainedSeconds} s");
        Line($"  correction   {m.Barometric.CoefficientCelsiusPerKilopascal} °C/kPa to {m.Barometric.StandardKilopascals} kPa, strictly {m.Barometric.StrictKilopascals.From} to {m.Barometric.StrictKilopascals.To} kPa");
        Line($"  report       to {m.Rounding.StepCelsius} °C");
        Line($"  precision    flash r {m.FlashPrecision.RepeatabilityCelsius}, R {m.FlashPrecision.ReproducibilityCelsius} °C; fire r {m.FirePrecision.RepeatabilityCelsius}, R {m.FirePrecision.ReproducibilityCelsius} °C");
        Line($"  cautions");
        foreach (var caution in m.Cautions)
        {
            Line($"    - {caution}");
        }

        Line($"  sources");
        foreach (var source in m.Sources)
        {
            Line($"    {source.Figure}: {source.Citation}{(source.FromMemory ? " [value from memory: compare with a licensed copy]" : "")}");
        }
    }
}
