import { describe, expect, it } from 'vitest';
import type { CalibrationStanding, Finding, ReadingMark, RunDetail, RunPlan, RunResult, TesterOverview } from '../src/contract';
import { openRun, reduceRun } from '../src/state/runView';
import { nothingSpoken, speak, type Spoken } from '../src/views/faultSpeech';
import { badMarks, currentOnly, faultLine, faultWords, noteWords } from '../src/views/markWords';
import { standingOf } from '../src/views/thermometerPanel';
import { labelledSensor, lagWords, leadingSensor, sensorWords, signalWords, splitDays, standingAtRun, standingToday, unitOf } from '../src/views/thermometerWords';
import { overviewFixture } from './fixtures';
import serviceDetail from './fixtures/service-run-detail.json';
import serviceOverview from './fixtures/service-tester-overview.json';

const detail = serviceDetail as unknown as RunDetail;
const sent = serviceOverview as unknown as TesterOverview;
const [north, west] = [overviewFixture[0]!, overviewFixture[1]!];
const status = north.status!;
const marked = (...marks: readonly ReadingMark[]): typeof status => ({ ...status, thermometerMarks: marks });

const allMarks: readonly ReadingMark[] = [
  'open-circuit', 'short-circuit', 'reversed-polarity', 'stuck', 'impossible-jump', 'out-of-range', 'converter-saturated', 'stale', 'junction-missing',
  'transmitter-failure', 'late', 'outside-calibration', 'step-taken', 'lag-uncorrected',
];

describe('the newest reading', () => {
  it('is unfit for use by the ten marks that the service counts as bad, and only noted by the four others', () => {
    expect(badMarks(allMarks)).toEqual(allMarks.slice(0, 10));
    expect(noteWords(allMarks).split('; ')).toHaveLength(4);
  });

  it('has words for every mark', () => {
    for (const mark of allMarks) expect(`${faultWords([mark]) ?? ''}${noteWords([mark])}`, mark).toMatch(/^[a-z]/);
  });

  it('is not trusted with a mark this page does not know, or with one named like a property of every object', () => {
    expect(faultWords(['frayed-lead' as ReadingMark])).toBe('frayed lead');
    expect(faultWords(['constructor' as ReadingMark])).toBe('constructor');
  });

  it('is said to be not used, and what the struck figure is', () => {
    expect(faultLine(marked('open-circuit'))).toBe('open circuit: not used. Struck out: the last sound reading.');
    expect(faultLine(marked('open-circuit', 'out-of-range', 'outside-calibration'))).toContain('open circuit, out of range: not used.');
    expect(faultLine({ ...marked('stale'), temperatureCelsius: null })).toBe('thermometer sends nothing: not used.');
    expect(faultLine(marked('step-taken'))).toBeNull();
    expect(faultLine(marked())).toBeNull();
  });

  it('takes rate, countdown and lag with it when it is not used, and nothing else', () => {
    const shown = currentOnly(marked('impossible-jump'));
    expect(shown).toEqual({
      ...marked('impossible-jump'), rateCelsiusPerMinute: null, rateUncertaintyCelsiusPerMinute: null, secondsToNextApplication: null, lagCelsius: null,
    });
    const sound = marked('outside-calibration');
    expect(currentOnly(sound)).toBe(sound);
  });
});

describe('what is said aloud of a thermometer', () => {
  const play = (...readings: readonly (readonly [number, ...ReadingMark[]])[]): readonly Spoken[] => {
    let spoken = nothingSpoken;
    return readings.map(([now, ...marks]) => (spoken = speak(spoken, marks, now)));
  };

  it('is each fault once, however often a loose contact comes and goes', () => {
    const told = play([0, 'open-circuit'], [200], [400, 'open-circuit'], [600], [800, 'impossible-jump'], [1000, 'open-circuit']);
    expect(told.map((one) => one.faults.join('+'))).toEqual([
      'open-circuit', 'open-circuit', 'open-circuit', 'open-circuit', 'open-circuit+impossible-jump', 'open-circuit+impossible-jump',
    ]);
  });

  it('ends only after three seconds of peace', () => {
    const told = play([0, 'stuck'], [1000], [3900], [4000], [5000]);
    expect(told.map((one) => one.faults.length)).toEqual([1, 1, 1, 0, 0]);
    expect(play([0, 'stuck'], [1000], [2000, 'stuck'], [3000], [4500]).at(-1)).toEqual({ faults: ['stuck'], soundSince: 3000 });
  });

  it('is nothing where nothing is bad', () => {
    expect(play([0], [200, 'outside-calibration']).at(-1)).toBe(nothingSpoken);
  });
});

describe('the sensor', () => {
  it('is named by its step of the chain, the details left out', () => {
    expect(sensorWords(sent.thermometer.steps)).toBe('thermocouple type K');
    expect(labelledSensor(sent.thermometer.steps)).toBe('Thermometer: thermocouple type K');
    const named = (step: string): string => sensorWords(['Signal in Ω', step, 'No calibration certificate']);
    expect(named('Platinum thermometer (IEC 60751), R0 100 ohm, 4 wires, tolerance class A')).toBe('platinum thermometer');
    expect(named('NTC thermistor by Steinhart-Hart, A 0.001, B 0.0002, C 1E-07')).toBe('NTC thermistor by Steinhart-Hart');
    expect(named('Transmitter 4-20 mA for 0 to 400 °C')).toBe('transmitter 4-20 mA for 0 to 400 °C');
    expect(labelledSensor(['Signal in °C', 'Mercury-in-glass thermometer'])).toBe('Thermometer: mercury-in-glass');
    expect(leadingSensor(['Signal in °C', 'Mercury-in-glass thermometer'])).toBe('Mercury-in-glass thermometer');
  });

  it('is not known where the tester sends °C or no step says it', () => {
    expect(labelledSensor(west.thermometer.steps)).toBe('Thermometer: sensor not known');
    expect(sensorWords([])).toBe('sensor not known');
  });
});

describe('the calibration', () => {
  const today = (calibration: CalibrationStanding | null): ReturnType<typeof standingToday> => standingToday({ ...sent.thermometer, calibration });
  const result = (...codes: readonly string[]): RunResult => ({ findings: codes.map((code) => ({ code }) as Finding) }) as unknown as RunResult;

  it('stands today as the service says', () => {
    expect(standingToday(sent.thermometer)).toEqual({ tone: 'soon', text: 'calibration due soon: 2026-12-02' });
    expect(today('valid')).toEqual({ tone: 'plain', text: 'calibrated to 2026-12-02' });
    expect(today('overdue')).toEqual({ tone: 'caution', text: 'calibration overdue: was due 2026-12-02' });
    expect(today('not-yet-valid')).toEqual({ tone: 'caution', text: 'certificate not yet valid' });
    expect(standingToday(west.thermometer)).toEqual({ tone: 'quiet', text: 'no calibration certificate' });
  });

  it('stands at a run as the service found, whatever holds today', () => {
    const { plan } = detail;
    expect(standingAtRun(plan, result())).toEqual({ tone: 'plain', text: 'in calibration at this run, to 2026-12-02' });
    expect(standingAtRun(plan, result('calibration-due')).tone).toBe('plain');
    expect(standingAtRun(plan, result('calibration-overdue'))).toEqual({ tone: 'caution', text: 'calibration overdue at this run: was due 2026-12-02' });
    expect(standingAtRun(plan, result('calibration-not-yet-valid'))).toEqual({ tone: 'caution', text: 'certificate of 2026-03-02, after this run' });
    expect(standingAtRun({ ...plan, thermometer: { ...plan.thermometer, calibration: null } }, result()).text).toBe('no calibration certificate');
  });

  it('is not called good where the service judged nothing', () => {
    expect(standingAtRun(detail.plan, null).text).toBe('calibration due 2026-12-02, not judged');
    expect(standingAtRun({ ...detail.plan, madeOn: null }, result()).text).toBe('calibration due 2026-12-02, not judged');
    expect(standingAtRun(detail.plan, result('calibration-not-judged')).text).toBe('calibration due 2026-12-02, not judged');
    expect(standingAtRun({ ...detail.plan, temperaturesAsRead: true }, result('temperatures-as-read')).text).toBe('temperatures as they stand in the record; calibration not judged');
  });

  it('is that of today while the run is on and that of the run afterwards', () => {
    const open = { ...detail, summary: { ...detail.summary, closedAt: null, result: null } };
    const loading = openRun(detail.summary.id);
    expect(standingOf(loading, sent)).toBeNull();
    expect(standingOf(reduceRun(loading, { kind: 'detail', detail: open }), sent)?.text).toBe('calibration due soon: 2026-12-02');
    const closed = reduceRun(loading, { kind: 'detail', detail });
    expect(standingOf(closed, { ...sent, thermometer: { ...sent.thermometer, calibration: 'overdue' } })?.text).toBe('in calibration at this run, to 2026-12-02');
    expect(closed.thermometerSteps).toEqual(detail.thermometerSteps);
  });

  it('keeps its days whole', () => {
    expect(splitDays('Calibration C-114 of 2026-03-02, due 2026-12-02: 2 points').filter((piece) => piece.isDay).map((piece) => piece.text)).toEqual(['2026-03-02', '2026-12-02']);
    expect(splitDays('no day').map((piece) => piece.text)).toEqual(['no day']);
  });
});

describe('the signal and the lag', () => {
  const planIn = (unit: RunPlan['thermometer']['unit']): RunPlan => ({ ...detail.plan, thermometer: { ...detail.plan.thermometer, unit } });

  it('show what was sent, in its unit', () => {
    expect(signalWords(sent.status!, sent.thermometer.signalUnit)).toBe('signal 8341\u00a0µV, junction 24.9\u00a0°C');
    expect(signalWords({ ...status, thermometerSignal: 8.6084, junctionCelsius: null }, 'mV')).toBe('signal 8.608\u00a0mV');
    expect(signalWords({ ...status, thermometerSignal: null, junctionCelsius: null }, null)).toBe('');
    expect([unitOf(detail.plan), unitOf(planIn('kohm')), unitOf(planIn('degC'))]).toEqual(['µV', 'kΩ', null]);
  });

  it('use the symbol that the service uses', () => {
    expect(unitOf(detail.plan)).toBe(sent.thermometer.signalUnit);
  });

  it('say what the lag does to the figure', () => {
    const lag = { timeConstantSeconds: 8, correct: false };
    expect(lagWords(lag, sent.status!.lagCelsius)).toBe('reads about 0.7 °C low at this ramp; not corrected');
    expect(lagWords(lag, -1.26)).toBe('reads about 1.3 °C high at this ramp; not corrected');
    expect(lagWords(lag, 0.02)).toBe('lag below 0.1 °C at this ramp; not corrected');
    expect(lagWords(lag, null)).toBe('lag not corrected; how much it makes now is not known');
    expect(lagWords({ ...lag, correct: true }, 0.73)).toBe("lag corrected: the method's precision does not hold");
    expect(lagWords(null, null)).toBeNull();
  });
});
