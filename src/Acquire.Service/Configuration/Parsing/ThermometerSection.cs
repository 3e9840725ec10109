using Acquire.Core.Readings;
using Acquire.Core.Thermometry;
using Acquire.Service.Sources;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads what lies between a thermometer's signal and its temperature: sensor, certificate, lag and limits.</summary>
internal static class ThermometerSection
{
    /// <summary>Reads the section. The unit comes from elsewhere; what fits together is for <see cref="ThermometerRules"/> to say.</summary>
    public static ThermometerChain Read(ConfigObject section, ThermometerUnit unit)
    {
        var chain = new ThermometerChain
        {
            Unit = unit,
            Sensor = SensorSection.Read(section.Section("sensor", optional: false)),
            Calibration = section.Section("calibration", optional: true) is { } calibration ? CalibrationSection.Read(calibration) : null,
            Lag = section.Section("lag", optional: true) is { } lag ? ReadLag(lag) : null,
            Limits = section.Section("limits", optional: true) is { } limits ? ReadLimits(limits) : new(),
        };
        section.RefuseUnknownKeys();
        return chain;
    }

    private static SensorLag ReadLag(ConfigObject section)
    {
        const string Seconds = "timeConstantSeconds";
        var correct = section.Flag("correct");
        double? seconds = null;
        if (correct && !section.Gives(Seconds))
        {
            section.Refuse(Seconds, "is missing, but the lag is to be corrected; allowed: a number from 0.01 to 300 s, measured in the specimen at the bench");
        }
        else
        {
            seconds = section.Number(Seconds, 0.01, 300, "s", optional: false);
        }

        section.RefuseUnknownKeys();
        return new(seconds ?? 1, correct);
    }

    private static ThermometerLimits ReadLimits(ConfigObject section)
    {
        var usual = new ThermometerLimits();
        var limits = new ThermometerLimits
        {
            ColdestCelsius = section.Number("coldestCelsius", ReadingRow.LowestCelsius, ReadingRow.HighestCelsius, "°C", optional: true),
            HottestCelsius = section.Number("hottestCelsius", ReadingRow.LowestCelsius, ReadingRow.HighestCelsius, "°C", optional: true),
            ConverterLow = section.Number("converterLow", -RowDraft.LargestSignal, RowDraft.LargestSignal, "in the unit of the signal", optional: true),
            ConverterHigh = section.Number("converterHigh", -RowDraft.LargestSignal, RowDraft.LargestSignal, "in the unit of the signal", optional: true),
            JunctionColdestCelsius = section.Number("junctionColdestCelsius", -20, 80, "°C", optional: true) ?? usual.JunctionColdestCelsius,
            JunctionHottestCelsius = section.Number("junctionHottestCelsius", -20, 80, "°C", optional: true) ?? usual.JunctionHottestCelsius,
            StuckAfterSeconds = section.Number("stuckAfterSeconds", 5, 3600, "s", optional: true) ?? usual.StuckAfterSeconds,
            StaleAfterSeconds = section.Number("staleAfterSeconds", 0.5, 300, "s", optional: true) ?? usual.StaleAfterSeconds,
        };
        section.RefuseUnknownKeys();
        return limits;
    }
}
