using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Tests.Traces;
using Acquire.Core.Thermometry;

namespace Acquire.Core.Tests.Runs.Validity;

/// <summary>Rules about the thermometer. A fault is put on the readings of 2 s at 213 °C, in the series, unless the rule is about time.</summary>
internal static class ThermometerValidity
{
    private const string Ours = "common practice, no source";

    private static readonly BenchTrace Usual = new() { PerSecond = 25, FireCelsius = null, Seed = 13, ThermometerStep = 0.001 };

    // Without a stated end of the converter, a full scale is a broken wire.
    private static readonly ThermometerChain Endless = ThermometerSupervisionTests.TypeK;

    private static readonly ThermometerChain TypeK = ThermometerSupervisionTests.TypeK with { Limits = ThermometerSupervisionTests.TypeK.Limits with { HottestCelsius = 400, ConverterHigh = 70_000 } };

    private static readonly ThermometerChain Loop = new() { Unit = ThermometerUnit.Milliampere, Sensor = new TransmitterSensor(TransmitterSignal.FourToTwentyMilliampere, 0, 400) };

    private static readonly CalibrationCertificate Certificate = ThermometerCertificateTests.Certificate;

    public static IEnumerable<ValidityRule> Rules =>
    [
        // The linearised input's full scale of 80 mV is far beyond what a type K can give, 54.9 mV at 1372 °C (NIST Monograph 175).
        new(FindingCodes.ThermometerOpenCircuit, "80 mV in the series, and the emf itself", Ours, FindingWeight.Doubtful, () => Emf(213, _ => 80_000, chain: Endless), () => Emf(213, emf => emf)),
        new(FindingCodes.ThermometerOpenCircuit, "80 mV before the series, and the emf itself", Ours, FindingWeight.Note, () => Emf(165, _ => 80_000, chain: Endless), () => Emf(165, emf => emf)),
        new(FindingCodes.ThermometerShortCircuit, "no emf at all, and the emf itself", Ours, FindingWeight.Doubtful, () => Emf(213, _ => 0), () => Emf(213, emf => emf)) { Verdict = Verdict.Doubtful },
        new(FindingCodes.ThermometerReversed, "the emf turned round for 2 s, and the emf itself", Ours, FindingWeight.Doubtful, () => Emf(213, emf => -emf), () => Emf(213, emf => emf)),
        new(FindingCodes.ThermometerReversed, "the emf turned round for 5 s, and the emf itself", "gapSeconds of 3 s: " + Ours, FindingWeight.Invalid, () => Emf(213, emf => -emf, 5), () => Emf(213, emf => emf)),
        new(FindingCodes.ConverterSaturated, "the end of the range and 20 mV below it", "the limits of the configuration", FindingWeight.Doubtful, () => Emf(213, _ => 70_000), () => Emf(213, emf => emf)),
        new(FindingCodes.ThermometerOutOfRange, "410 °C and the temperature itself, hottest 400 °C", "the limits of the configuration", FindingWeight.Note, () => Emf(213, emf => emf + 8400), () => Emf(213, emf => emf)),
        new(FindingCodes.JunctionMissing, "a junction at 61 and at 45 °C", "5 to 60 °C: " + Ours, FindingWeight.Note, () => Junction(61), () => Junction(45)) { Verdict = Verdict.Invalid },
        new(FindingCodes.ThermometerStuck, "one value for 75 and for 40 s", "60 s: " + Ours, FindingWeight.Doubtful, () => Stuck(75), () => Stuck(40)) { KeptVerdict = Verdict.Invalid, Verdict = Verdict.Invalid },
        new(FindingCodes.ThermometerStale, "silent for 6.5 and for 2.5 s while other readings come", "staleAfterSeconds of 5 s: " + Ours, FindingWeight.Note, () => Silent(6.5), () => Silent(2.5)) { Verdict = Verdict.Doubtful },
        new(FindingCodes.TransmitterFailure, "21.5 and 20 mA", "levels of NAMUR NE 43; value from memory", FindingWeight.Doubtful, () => Current(21.5), () => Current(null)),
        new(FindingCodes.ThermometerIntermittent, "90 and 10 % bad within a minute", "30 %: " + Ours, FindingWeight.Doubtful, () => Share(0.9), () => Share(0.1)),
        new(FindingCodes.OutsideCalibration, "calibrated to 226.5 and to 228 °C, flash at 227 °C", "the certificate", FindingWeight.Doubtful, () => Calibrated(226.5), () => Calibrated(228)),
        new(FindingCodes.CalibrationOverdue, "a day after it was due, and on the day", "the certificate", FindingWeight.Doubtful, () => MadeOn(2027, 3, 3), () => MadeOn(2027, 3, 2)),
        new(FindingCodes.CalibrationNotYetValid, "the day before it is dated, and on the day", "the certificate", FindingWeight.Doubtful, () => MadeOn(2026, 3, 1), () => MadeOn(2026, 3, 2)),
        new(FindingCodes.CalibrationDue, "30 and 31 days before", "30 days of warning: " + Ours, FindingWeight.Note, () => MadeOn(2027, 1, 31), () => MadeOn(2027, 1, 30)),
        new(FindingCodes.CalibrationNotJudged, "no day, and a day", Ours, FindingWeight.Note, () => Planned(Chain, null), () => MadeOn(2026, 9, 1)),
        new(FindingCodes.LagCorrected, "corrected, and only recorded", Ours, FindingWeight.Note, () => Lag(true), () => Lag(false)),
        new(FindingCodes.TemperaturesAsRead, "taken as read, and made by the chain", Ours, FindingWeight.Note, () => AsRead(true), () => AsRead(false)),
    ];

    private static ThermometerChain Chain => ThermometerChain.Plain with { Calibration = Certificate };

    private static Judged Emf(double celsius, Func<double, double> change, double seconds = 2, ThermometerChain? chain = null)
    {
        var run = Usual.Make();
        var from = run.Rows.First(row => row.TemperatureCelsius >= celsius).AtSeconds;
        return run.Judge(ThermometerSupervisionTests.Signals(run.Rows).Select(row => row.AtSeconds >= from && row.AtSeconds < from + seconds ? row with { Signal = change(row.Signal) } : row), run.Trace.Plan with { Thermometer = chain ?? TypeK });
    }

    private static Judged Junction(double celsius)
    {
        // The signal is that of the true temperatures, so that nothing but the junction is wrong.
        var run = Usual.Make();
        var couple = Thermocouple.Of(ThermocoupleType.K);
        return run.Judge(ThermometerSupervisionTests.Signals(run.Rows).Select((row, i) =>
        {
            var junction = celsius + (0.01 * (i / 500 % 2));
            return row with { Signal = row.Signal + (1000 * (couple.EmfMillivolts(row.JunctionCelsius) - couple.EmfMillivolts(junction))), JunctionCelsius = junction };
        }), run.Trace.Plan with { Thermometer = TypeK });
    }

    private static Judged Stuck(double seconds)
    {
        var run = Usual.Make();
        var from = run.Passes[3].Start + 5;
        double? held = null;
        return run.Judge(run.Rows.Select(row => row.AtSeconds < from || row.AtSeconds > from + seconds ? row : row with { TemperatureCelsius = held ??= row.TemperatureCelsius }));
    }

    private static Judged Silent(double seconds)
    {
        var run = Usual.Make();
        var from = run.Passes[5].Start + 5;
        return run.Judge(run.Rows.Select(row => row.AtSeconds < from || row.AtSeconds > from + seconds ? row : row with { Present = row.Present & ~RowChannels.Temperature }));
    }

    private static Judged Current(double? milliampere)
    {
        var run = Usual.Make();
        var from = run.Rows.First(row => row.TemperatureCelsius >= 213).AtSeconds;
        return run.Judge(run.Rows.Select(row => row with
        {
            Present = (row.Present & ~RowChannels.Temperature) | RowChannels.Signal,
            Signal = milliampere is { } wrong && row.AtSeconds >= from && row.AtSeconds < from + 2 ? wrong : 4 + (row.TemperatureCelsius / 25),
        }), run.Trace.Plan with { Thermometer = Loop });
    }

    private static Judged Share(double share)
    {
        var run = Usual.Make();
        var from = run.Flash!.Onset!.Value - 60;
        var random = new Random(4);
        return run.Judge(run.Rows.Select(row => row.AtSeconds > from && random.NextDouble() < share ? row with { TemperatureCelsius = 900 } : row),
            run.Trace.Plan with { Thermometer = ThermometerChain.Plain with { Limits = new() { HottestCelsius = 400 } } });
    }

    private static Judged Calibrated(double highest) => Planned(ThermometerChain.Plain with { Calibration = Certificate with { Points = [new(20, 0, 0.3), new(highest, 0, 0.3)] } }, new(2026, 9, 1));

    private static Judged MadeOn(int year, int month, int day) => Planned(Chain, new(year, month, day));

    private static Judged Lag(bool correct) => Planned(ThermometerChain.Plain with { Lag = new SensorLag(10, correct) }, new(2026, 9, 1));

    private static Judged Planned(ThermometerChain chain, DateOnly? madeOn)
    {
        var run = Usual.Make();
        return run.Judge(plan: run.Trace.Plan with { Thermometer = chain, MadeOn = madeOn });
    }

    private static Judged AsRead(bool asRead)
    {
        var run = Usual.Make();
        return run.Judge(plan: run.Trace.Plan with { TemperaturesAsRead = asRead });
    }
}
