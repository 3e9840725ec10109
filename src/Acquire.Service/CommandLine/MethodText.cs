using System.Globalization;
using Acquire.Core.Methods;

namespace Acquire.Service.CommandLine;

/// <summary>A method in words.</summary>
internal sealed class MethodText(TextWriter writer)
{
    /// <summary>How a figure that awaits a licensed copy is marked.</summary>
    public const string FromMemory = "[value from memory: compare with a licensed copy]";

    /// <summary>Writes the method with its cautions and sources.</summary>
    public static void Write(MethodDefinition method, TextWriter writer) => new MethodText(writer).Write(method);

    private void Write(MethodDefinition m)
    {
        writer.WriteLine($"{m.Id}: {m.Title}");
        writer.WriteLine($"  Figures from {m.Standard}. Where a standard is named, its text rules, not this file.");
        Line("use", m.Use);
        Line("cup", $"{Word(m.Cup)}: {m.Apparatus.Cup}");
        Line("heating", Word(m.Heating));
        Line("fill", m.Apparatus.Fill);
        Line("test flame", m.Apparatus.TestFlame);
        Line("stirring", m.Stirring is { } s ? Text($"{Show(s.RevolutionsPerMinute)} r/min{(s.StoppedDuringApplication ? ", stopped for each application" : "")}{(s.OutsideSeconds is { } outside ? Text($"; judged after {outside} s outside") : "")}") : null);
        Surroundings(m.Surroundings);
        Line("scope", Text($"flash points {m.FlashScopeCelsius.From} to {m.FlashScopeCelsius.To} °C"));
        Scope(m.Scope);
        Parts(m.Ramp, m.Applications, m.Judgement);
        MethodEquilibriumText.Write(m.Equilibrium, Line);
        UnknownFlash(m.UnknownFlash);
        Line("fire point", m.FirePoint.Determined ? Text($"burns for at least {m.FirePoint.SustainedSeconds} s{(m.FirePoint.HighestCelsius is { } highest ? $"; up to {highest} °C" : "")}") : "not determined");
        Line("correction", Text($"{m.Barometric.CoefficientCelsiusPerKilopascal} °C/kPa to {m.Barometric.StandardKilopascals} kPa, strictly {m.Barometric.StrictKilopascals.From} to {m.Barometric.StrictKilopascals.To} kPa"));
        Line("report", Text($"to {m.Rounding.StepCelsius} °C, a tie {(m.Rounding.Ties == TieRule.HalfToEven ? "to the even multiple" : "away from zero")}"));
        MethodPrecisionText.Write("flash", m.FlashPrecision, Line);
        MethodPrecisionText.Write("fire", m.FirePrecision, Line);
        foreach (var variant in m.Variants ?? [])
        {
            writer.WriteLine($"  where the expected flash point is {Where(variant)}");
            Parts(variant.Ramp, variant.Applications, variant.Judgement);
            MethodPrecisionText.Write("flash", variant.FlashPrecision, Line);
        }

        Notes(m);
    }

    private void Parts(RampRules? ramp, ApplicationRules? applications, JudgementRules? judgement)
    {
        if (ramp is not null)
        {
            Line("start", Text($"at least {ramp.StartAtLeastBelowExpectedCelsius} °C below the expected flash point"));
            Line("fast heating", ramp.FastHeatingCelsiusPerMinute is { } fast ? Text($"{fast.From} to {fast.To} °C/min, until {ramp.EaseBelowExpectedCelsius} °C below") : null);
            var band = ramp.ControlledHeatingCelsiusPerMinute;
            Line(ramp.IsConstant ? "heating" : "controlled", Text($"{band.From} to {band.To} °C/min, {(ramp.IsConstant ? "from start to end" : Text($"from {ramp.ControlledFromBelowExpectedCelsius} °C below on"))}"));
        }

        if (applications is not null)
        {
            Line("applications", Text($"first {applications.FirstBelowExpectedCelsius} °C below (at the latest {applications.FirstAtLatestBelowExpectedCelsius}), every {applications.IntervalCelsius} °C, about {applications.PassSeconds} s each"));
            Line("valid flash", applications.FlashWindowAboveFirstCelsius is { } window ? $"{Show(window)} °C above the first application, else approximate" : null);
        }

        Line("judged", judgement is { SettleCelsius: { } settle } ? Text($"the rate counts once the specimen has risen by {settle} °C") : null);
        Line("judged", judgement is { PauseSeconds: { } pause } ? Text($"heating that pauses for more than {pause} s before the controlled band") : null);
    }

    private void Surroundings(SurroundingsRules? rules)
    {
        Line("air", rules is { DraughtMetresPerSecond: { } fast, DraughtSeconds: { } seconds } ? Text($"a draught is more than {fast} m/s as a mean over some 2 s, for more than {seconds} s or at an application") : null);
        Line("room", rules?.AmbientCelsius is { } room ? Text($"{room.From} to {room.To} °C") : null);
        Line("room", rules?.AmbientChangeCelsius is { } change ? Text($"changes by no more than {change} °C while the specimen is heated") : null);
    }

    private void Scope(ScopeRules? scope)
    {
        if (scope is null)
        {
            return;
        }

        Line("", scope.ThinnerThan is { } limits ? "viscosity below " + string.Join(" or ", limits.Select(limit => Text($"{limit.SquareMillimetresPerSecond} mm²/s at {limit.AtCelsius} °C"))) : null);
        Line("", scope.SolidsAllowed is { } solids ? $"suspended solids: {(solids ? "allowed" : "not allowed")}" : null);
        Line("", scope.FilmFormersAllowed is { } films ? $"film formers: {(films ? "allowed" : "not allowed")}" : null);
        Line("", scope.PrecisionCelsius is { } range ? Text($"precision stated for {range.From} to {range.To} °C") : null);
        Line("", scope.NotFor is { } others ? "not for " + string.Join("; ", others) : null);
    }

    private void UnknownFlash(UnknownFlashRules? rules)
    {
        if (rules is null)
        {
            return;
        }

        var start = rules.StartCelsius is { } range ? Text($"{range.From} to {range.To} °C") : Text($"{rules.StartAtMostCelsius} °C or below");
        var rate = rules.HeatingCelsiusPerMinute is { } band ? Text($", {band.From} to {band.To} °C/min") : "";
        var every = rules.IntervalCelsius is { } interval ? Text($", every {interval} °C") : "";
        Line("unknown", $"scouting run: start at {start}{rate}, first application at least {Text($"{rules.FirstAtLeastAboveStartCelsius}")} °C above the start{every}; the flash ends it; its result is approximate and is what a fresh test portion is expected to show");
    }

    private void Notes(MethodDefinition m)
    {
        writer.WriteLine("  cautions");
        foreach (var caution in m.Cautions)
        {
            writer.WriteLine($"    - {caution}");
        }

        writer.WriteLine("  sources");
        foreach (var source in m.Sources)
        {
            writer.WriteLine($"    {source.Figure}: {source.Citation}{(source.FromMemory ? " " + FromMemory : "")}");
        }
    }

    private void Line(string name, string? value)
    {
        if (value is not null)
        {
            writer.WriteLine($"  {name,-12} {value}");
        }
    }

    private static string Where(MethodVariant v)
    {
        var from = v.ExpectedFromCelsius is { } at ? Text($"{at} °C or above") : v.ExpectedAboveCelsius is { } above ? Text($"above {above} °C") : null;
        var to = v.ExpectedUpToCelsius is { } upTo ? Text($"up to {upTo} °C") : v.ExpectedBelowCelsius is { } below ? Text($"below {below} °C") : null;
        return string.Join(", ", new[] { from, to }.Where(end => end is not null));
    }

    private static string Word<T>(T value)
        where T : struct, Enum => value.ToString().ToLowerInvariant();

    private static string Show(ValueRange range) => Text($"{range.From} to {range.To}");

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
