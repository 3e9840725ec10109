using Acquire.Core.Results;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads what a laboratory knows beside the readings, for the uncertainty of a result.</summary>
internal static class FiguresSection
{
    private const string Key = "uncertainty";

    public static LaboratoryFigures Read(ConfigObject tester)
    {
        if (tester.Section(Key, optional: true) is not { } section)
        {
            return LaboratoryFigures.None;
        }

        var figures = new LaboratoryFigures
        {
            BarometerLimitKilopascals = section.Number("barometerLimitKilopascals", 0, 5, "kPa", optional: true),
            CoefficientLimitCelsiusPerKilopascal = section.Number("coefficientLimitCelsiusPerKilopascal", 0, 0.25, "°C/kPa", optional: true),
            DriftLimitCelsius = section.Number("driftLimitCelsius", 0, 10, "°C", optional: true),
            ResolutionCelsius = section.Number("resolutionCelsius", 0, 5, "°C", optional: true),
            LagResidualCelsius = section.Number("lagResidualCelsius", 0, 10, "°C", optional: true),
            RampSensitivityCelsiusPerCelsiusPerMinute = section.Number("rampSensitivityCelsiusPerCelsiusPerMinute", 0, 10, "°C per °C/min", optional: true),
            Repeatability = ReadRepeatability(section),
            TakeMethodRepeatability = section.Flag("takeMethodRepeatability"),
        };
        section.RefuseUnknownKeys();
        foreach (var error in figures.Check(Key))
        {
            tester.Refuse(error.Path, error.Message);
        }

        return figures;
    }

    private static LaboratoryRepeatability? ReadRepeatability(ConfigObject section)
    {
        if (section.Section("repeatability", optional: true) is not { } repeatability)
        {
            return null;
        }

        var deviation = repeatability.Number("standardDeviationCelsius", 0, 20, "°C", optional: false);
        var results = repeatability.Whole("results", 2, 1000, null);
        repeatability.RefuseUnknownKeys();
        return deviation is { } given ? new(given, results) : null;
    }
}
