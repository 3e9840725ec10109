using System.Globalization;
using Acquire.Core.Thermometry;

namespace Acquire.Core.Results;

/// <summary>Lines of a budget that come from the thermometer.</summary>
internal static class ThermometerPart
{
    private const string Certificate = "thermometer calibration";
    private const string Drift = "thermometer drift";
    private const string Resolution = "thermometer resolution";
    private const string Lag = "thermometer lag";

    public static void Add(BudgetDraft draft)
    {
        Calibration(draft);
        var figures = draft.Figures;
        if (figures.DriftLimitCelsius is { } drift)
        {
            draft.Line(Contribution.Rectangular(Drift, drift, "°C", "Limit stated by the laboratory for the change since the calibration."));
        }
        else
        {
            draft.Missing(Drift, "The laboratory states no limit for the change of the thermometer since its calibration.");
        }

        if (figures.ResolutionCelsius is { } step)
        {
            draft.LineUnlessScattered(Contribution.Rectangular(Resolution, step / 2, "°C",
                string.Create(CultureInfo.InvariantCulture, $"Half of the step of {step:0.####} °C in which the thermometer is read, as the laboratory states it (JCGM 100:2008, F.2.2.1).")));
        }
        else if (!draft.HasScatter)
        {
            draft.Missing(Resolution, "The laboratory does not state the step in which the thermometer is read.");
        }

        AddLag(draft);
    }

    private static void Calibration(BudgetDraft draft)
    {
        if (draft.Plan.Thermometer.Calibration is not { } certificate)
        {
            draft.Missing(Certificate, "The run has no certificate for its thermometer.");
            return;
        }

        var answer = new CalibrationCurve(certificate).At(Reading(certificate, draft.Point.ObservedCelsius));
        draft.Line(Contribution.Normal(Certificate, answer.ExpandedUncertaintyCelsius, certificate.CoverageFactor, "°C",
            string.Create(CultureInfo.InvariantCulture, $"Expanded uncertainty in certificate {certificate.Number} of {certificate.CalibratedOn:yyyy-MM-dd}, interpolated at {draft.Point.ObservedCelsius:0.0} °C, coverage factor {certificate.CoverageFactor:0.##}.")));
        if (answer.Outside)
        {
            draft.Missing("thermometer beyond its calibrated span", "The point lies beyond the calibrated span: the certificate's uncertainty is that of its nearest point and does not cover the rest.");
        }
    }

    // The observed figure is already corrected, the certificate goes by readings. A checked certificate's corrected readings
    // rise with its readings, so halving finds the one. (A corrected lag shifts it by tenths, which no uncertainty notices.)
    private static double Reading(CalibrationCertificate certificate, double observed)
    {
        var curve = new CalibrationCurve(certificate);
        var (low, high) = (observed - CalibrationRules.MostCorrectionCelsius, observed + CalibrationRules.MostCorrectionCelsius);
        for (var i = 0; i < 50; i++)
        {
            var middle = (low + high) / 2;
            (low, high) = middle + curve.At(middle).CorrectionCelsius < observed ? (middle, high) : (low, middle);
        }

        return (low + high) / 2;
    }

    private static void AddLag(BudgetDraft draft)
    {
        if (draft.Figures.LagResidualCelsius is not { } limit)
        {
            draft.Missing(Lag, "The laboratory states no limit for what the thermometer's lag leaves.");
            return;
        }

        var about = draft.Plan.Thermometer.Lag is { Correct: true } lag ? $"what the correction for a time constant of {Text.Seconds(lag.TimeConstantSeconds)} leaves" : "the lag, which was not corrected";
        draft.Line(Contribution.Rectangular(Lag, limit, "°C", $"Limit stated by the laboratory for {about}."));
    }
}
