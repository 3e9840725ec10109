using System.Globalization;
using System.Text.RegularExpressions;

namespace Acquire.Core.Methods;

/// <summary>The ranges within which a method's figures make sense.</summary>
internal static partial class MethodRules
{
    public static IReadOnlyList<InputError> Check(MethodDefinition m)
    {
        var errors = new List<InputError>();
        if (!IdPattern().IsMatch(m.Id))
        {
            errors.Add(new("id", $"'{m.Id}' is not lower-case words of letters, digits and dots joined by hyphens, such as iso-2592-2017"));
        }

        Text(errors, "title", m.Title);
        Text(errors, "standard", m.Standard);
        Range(errors, "flashScopeCelsius", m.FlashScopeCelsius.From, m.FlashScopeCelsius.To, -100, 500);
        Band(errors, "ramp.fastHeatingCelsiusPerMinute", m.Ramp.FastHeatingCelsiusPerMinute);
        Band(errors, "ramp.controlledHeatingCelsiusPerMinute", m.Ramp.ControlledHeatingCelsiusPerMinute);
        Number(errors, "ramp.startAtLeastBelowExpectedCelsius", m.Ramp.StartAtLeastBelowExpectedCelsius, 0, 200);
        Number(errors, "ramp.easeBelowExpectedCelsius", m.Ramp.EaseBelowExpectedCelsius, 0, 200);
        Number(errors, "ramp.controlledFromBelowExpectedCelsius", m.Ramp.ControlledFromBelowExpectedCelsius, 0, 200);
        Number(errors, "applications.firstBelowExpectedCelsius", m.Applications.FirstBelowExpectedCelsius, 0, 200);
        Number(errors, "applications.firstAtLatestBelowExpectedCelsius", m.Applications.FirstAtLatestBelowExpectedCelsius, 0, 200);
        Number(errors, "applications.intervalCelsius", m.Applications.IntervalCelsius, 0.1, 20);
        Number(errors, "applications.passSeconds", m.Applications.PassSeconds, 0.1, 10);
        Number(errors, "applications.longestPassSeconds", m.Applications.LongestPassSeconds, m.Applications.PassSeconds, 20);
        Number(errors, "firePoint.sustainedSeconds", m.FirePoint.SustainedSeconds, 1, 60);
        Number(errors, "barometric.coefficientCelsiusPerKilopascal", m.Barometric.CoefficientCelsiusPerKilopascal, 0, 1);
        Number(errors, "barometric.standardKilopascals", m.Barometric.StandardKilopascals, 90, 110);
        Range(errors, "barometric.strictKilopascals", m.Barometric.StrictKilopascals.From, m.Barometric.StrictKilopascals.To, 40, 120);
        Number(errors, "rounding.stepCelsius", m.Rounding.StepCelsius, 0.01, 10);
        Judgement(errors, m.Judgement);
        Precisions(errors, "flashPrecision", m.FlashPrecision);
        Precisions(errors, "firePrecision", m.FirePrecision);
        if (m.Ramp.EaseBelowExpectedCelsius < m.Ramp.ControlledFromBelowExpectedCelsius)
        {
            errors.Add(new("ramp.easeBelowExpectedCelsius", "is below ramp.controlledFromBelowExpectedCelsius: heat must be eased before the controlled band has to hold"));
        }

        if (m.Applications.FirstBelowExpectedCelsius < m.Applications.FirstAtLatestBelowExpectedCelsius)
        {
            errors.Add(new("applications.firstBelowExpectedCelsius", "schedules the first application later than applications.firstAtLatestBelowExpectedCelsius allows"));
        }

        if (m.Cautions.Count == 0)
        {
            errors.Add(new("cautions", "is empty: a method that heats oil under an open flame states its cautions"));
        }

        NoNulls(errors, "cautions", m.Cautions);
        NoNulls(errors, "sources", m.Sources);
        return errors;
    }

    // The reader vouches for properties that may not be null, but not for the entries of a list.
    private static void NoNulls<T>(List<InputError> errors, string path, IReadOnlyList<T> entries)
        where T : class
    {
        for (var i = 0; i < entries.Count; i++)
        {
            if (entries[i] is null)
            {
                errors.Add(new(string.Create(CultureInfo.InvariantCulture, $"{path}[{i}]"), "is null where an entry is expected"));
            }
        }
    }

    private static void Judgement(List<InputError> errors, JudgementRules j)
    {
        Number(errors, "judgement.rateToleranceCelsiusPerMinute", j.RateToleranceCelsiusPerMinute, 0, 5);
        Number(errors, "judgement.rateExcursionSeconds", j.RateExcursionSeconds, 0, 600);
        Number(errors, "judgement.grossRateExcessCelsiusPerMinute", j.GrossRateExcessCelsiusPerMinute, 0, 20);
        Number(errors, "judgement.intervalToleranceCelsius", j.IntervalToleranceCelsius, 0, 5);
        Number(errors, "judgement.gapSeconds", j.GapSeconds, 0.5, 60);
    }

    private static void Precisions(List<InputError> errors, string path, Precision p)
    {
        Number(errors, path + ".repeatabilityCelsius", p.RepeatabilityCelsius, 0.01, 50);
        Number(errors, path + ".reproducibilityCelsius", p.ReproducibilityCelsius, p.RepeatabilityCelsius, 100);
    }

    private static void Band(List<InputError> errors, string path, RateBand band) => Range(errors, path, band.From, band.To, 0.1, 50);

    private static void Range(List<InputError> errors, string path, double from, double to, double least, double most)
    {
        Number(errors, path + ".from", from, least, most);
        Number(errors, path + ".to", to, least, most);
        if (!(from < to))
        {
            errors.Add(new(path, $"from {Show(from)} is not below to {Show(to)}"));
        }
    }

    private static void Number(List<InputError> errors, string path, double value, double least, double most)
    {
        if (!(value >= least && value <= most))
        {
            errors.Add(new(path, $"{Show(value)} is not within {Show(least)} to {Show(most)}"));
        }
    }

    private static void Text(List<InputError> errors, string path, string value)
    {
        if (string.IsNullOrWhiteSpace(value))
        {
            errors.Add(new(path, "is empty"));
        }
    }

    private static string Show(double value) => value.ToString("0.###", CultureInfo.InvariantCulture);

    [GeneratedRegex("^[a-z0-9.]+(-[a-z0-9.]+)*$")]
    private static partial Regex IdPattern();
}
