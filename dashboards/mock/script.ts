import type {
  Application,
  ApplicationEvidence,
  Finding,
  MethodDefinition,
  RunOutput,
  RunPhase,
  RunResult,
  RunStatus,
} from '../src/contract';

/** One invented run, whole: points a fifth of a second apart, events and status by time. */
export interface Script {
  readonly seconds: number;
  readonly time: number[];
  readonly temperature: (number | null)[];
  readonly low: (number | null)[];
  readonly high: (number | null)[];
  readonly flame: boolean[];
  readonly events: RunOutput[];
  readonly status: (RunStatus | null)[];
  readonly result: RunResult;
}

const step = 0.2;
const round = (value: number, decimals: number): number => Number(value.toFixed(decimals));

/** Noise that is the same in every session. */
function noise(seed: number): () => number {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 31 - 1;
  };
}

/** Heating fast, eased, too fast for a while, applications with a growing halo, a flash, a burn, a fire point, cooling. */
export function makeScript(method: MethodDefinition, expected: number, seed: number): Script {
  const random = noise(seed);
  const ease = expected - method.ramp.easeBelowExpectedCelsius;
  const controlledFrom = expected - method.ramp.controlledFromBelowExpectedCelsius;
  let due = expected - method.applications.firstBelowExpectedCelsius;
  const flashAt = expected + 3.5;
  const fireAt = expected + 26;
  const script: Script = {
    seconds: 0, time: [], temperature: [], low: [], high: [], flame: [], events: [], status: [],
    result: { verdict: 'doubtful', flash: null, fire: null, stationKilopascals: 101.3, applications: [], findings: [] },
  };
  const applications: Application[] = [];
  const findings: Finding[] = [];
  const say = (event: RunOutput): void => void script.events.push(event);
  let phase = 'ready' as RunPhase;
  const enter = (to: RunPhase, at: number, temperature: number): void => {
    if (to === phase) return;
    say({ kind: 'phase-changed', atSeconds: at, from: phase, to, temperatureCelsius: round(temperature, 2) });
    phase = to;
  };

  let temperature = 62;
  let rate = 0;
  let band: RunStatus['band'] = null;
  let passFrom = -100;
  let judged = true;
  let flash: { t: number; at: number } | null = null;
  let fire: { t: number; at: number } | null = null;
  let burningFrom: number | null = null;
  let coolingFrom: number | null = null;
  let alarm: string | null = null;
  let hotFrom: number | null = null;

  for (let i = 0; ; i++) {
    const t = round(i * step + step / 2, 1);
    // Heating
    const heating = coolingFrom === null;
    const toGo = ease - temperature;
    let target = heating ? (temperature < ease - 12 ? 15.2 : 5.45 + Math.max(0, Math.min(9, (toGo + 14) * 0.3))) : -9 - (temperature - 150) * 0.08;
    if (hotFrom === null && heating && temperature > controlledFrom + 5) hotFrom = t;
    if (hotFrom !== null && t - hotFrom < 34 && heating) target = 6.9;
    if (i < 60) target = 0;
    rate += (target - rate) * (step / (heating ? 9 : 25));
    temperature += (rate / 60) * step;

    if (i === 60) {
      band = method.ramp.fastHeatingCelsiusPerMinute;
      enter('fast-heating', t, temperature);
      say({ kind: 'band-entered', atSeconds: t, temperatureCelsius: round(temperature, 2), band, untilCelsius: ease });
    }
    if (phase === 'fast-heating' && temperature >= ease) enter('controlled-heating', t, temperature);
    if (phase === 'controlled-heating' && band !== method.ramp.controlledHeatingCelsiusPerMinute && temperature >= controlledFrom) {
      band = method.ramp.controlledHeatingCelsiusPerMinute;
      say({ kind: 'band-entered', atSeconds: t, temperatureCelsius: round(temperature, 2), band, untilCelsius: null });
    }
    if (hotFrom !== null && alarm === null && t - hotFrom > 10 && t - hotFrom < 30) {
      alarm = 'heating-too-fast';
      say({ kind: 'alarm-raised', atSeconds: t, code: alarm, text: 'The specimen heats at 6.7 °C/min; the method allows 5 to 6 °C/min here. Reduce the heat.' });
    }
    if (alarm !== null && hotFrom !== null && t - hotFrom > 48) {
      alarm = null;
      say({ kind: 'alarm-cleared', atSeconds: t, code: 'heating-too-fast' });
      const finding: Finding = { code: 'rate-too-fast', weight: 'doubtful', timeSeconds: round(t - 20, 1), temperatureCelsius: round(temperature - 2.2, 1), value: 6.8, limit: 6, text: 'The mean rate was up to 6.8 °C/min for 24 s; the method allows 6 °C/min. Accept only with a reason, or repeat.' };
      findings.push(finding);
      say({ kind: 'finding-raised', atSeconds: t, finding });
    }

    // Test flame
    const evidence: ApplicationEvidence = 'flame-signal';
    if (heating && judged && burningFrom === null && temperature >= due) {
      passFrom = t;
      judged = false;
      due += method.applications.intervalCelsius;
      enter('applying-test-flame', t, temperature);
      say({ kind: 'application-started', atSeconds: t, number: applications.length + 1, temperatureCelsius: round(temperature, 2), evidence });
    }
    const over = t - passFrom < 1;
    const sincePass = t - passFrom;
    const number = applications.length + (judged ? 0 : 1);
    const flashes = !judged && temperature >= flashAt - 0.2;
    if (flashes && sincePass > 0.5 && flash === null) {
      flash = { t, at: round(temperature, 1) };
      say({ kind: 'flash-detected', atSeconds: t, temperatureCelsius: flash.at, applicationNumber: number });
    }
    if (flashes && sincePass > 0.5 && burningFrom === null && fire === null && temperature > fireAt - 5) {
      burningFrom = t;
      say({ kind: 'alarm-raised', atSeconds: t, code: 'specimen-burning', text: 'The specimen is burning. Have the lid at hand.' });
    }
    const burned = burningFrom === null ? null : round(t - burningFrom, 1);
    if (burningFrom !== null && burned !== null) {
      const lasts = temperature >= fireAt - 0.5;
      if (!lasts && burned > 2.6) {
        say({ kind: 'burn-ended', atSeconds: t, onsetSeconds: burningFrom, durationSeconds: burned });
        say({ kind: 'alarm-cleared', atSeconds: t, code: 'specimen-burning' });
        burningFrom = null;
      } else if (lasts && burned >= 5 && fire === null) {
        fire = { t: burningFrom, at: round(temperature - 0.45, 1) };
        say({ kind: 'fire-detected', atSeconds: t, onsetSeconds: burningFrom, temperatureCelsius: fire.at });
      } else if (lasts && burned > 9) {
        say({ kind: 'alarm-cleared', atSeconds: t, code: 'specimen-burning' });
        burningFrom = null;
        coolingFrom = t;
        band = null;
        enter('cooling', t, temperature);
      }
    }
    if (!judged && sincePass > 3 && (burningFrom === null || sincePass > 6)) {
      judged = true;
      const application: Application = {
        number, timeSeconds: passFrom, temperatureCelsius: round(temperature - 0.27, 2), durationSeconds: round(0.95 + Math.abs(random()) * 0.2, 2),
        evidence, flash: flashes, significance: round(flashes ? 62 + random() * 14 : 2 + number * 0.25 + random(), 1),
      };
      applications.push(application);
      say({ kind: 'application-judged', atSeconds: t, application });
      if (coolingFrom === null) enter(flash === null ? 'controlled-heating' : 'heating-to-fire-point', t, temperature);
    }

    // Detector: halo grows with the temperature, the flash stands out, a burn stays up
    let level = 0.412;
    if (over) level += (0.1 + 0.018 * number) * Math.sin(Math.PI * Math.min(1, sincePass));
    if (flashes && sincePass > 0.5 && sincePass < 1.2) level += 2.3;
    if (burningFrom !== null) level += 2.6 + random() * 0.5;

    const lost = t > 300 && t < 303.4;
    script.time.push(t);
    script.temperature.push(lost ? null : round(temperature + random() * 0.03, 2));
    script.low.push(round(level - 0.006 - Math.abs(random()) * 0.006 - (over ? 0.03 : 0), 4));
    script.high.push(round(level + 0.006 + Math.abs(random()) * 0.006, 4));
    script.flame.push(over);
    const known = i > 75 && coolingFrom === null;
    const next = coolingFrom === null && fire === null && i > 60 ? due : null;
    script.status.push({
      phase, atSeconds: t, temperatureCelsius: round(temperature, 2),
      rateCelsiusPerMinute: known ? round(rate + random() * 0.05, 2) : coolingFrom === null ? null : round(rate, 2),
      rateUncertaintyCelsiusPerMinute: known || coolingFrom !== null ? 0.08 : null,
      band, nextApplicationCelsius: next,
      secondsToNextApplication: next === null || rate < 1 ? null : round(Math.max(0, ((next - temperature) / rate) * 60), 1),
      applications: applications.length + (judged ? 0 : 1), flameOver: over, detector: round(level, 3),
      observedFlashCelsius: flash?.at ?? null, observedFireCelsius: fire?.at ?? null, burningSeconds: burned,
    });
    if (coolingFrom !== null && t - coolingFrom > 120) break;
  }

  const end = script.time.at(-1) ?? 0;
  findings.push({ code: 'pressure-assumed', weight: 'note', timeSeconds: 0, temperatureCelsius: null, value: 101.3, limit: null, text: 'Nobody gave the station pressure; 101.3 kPa was assumed and no correction was made.' });
  const point = (of: { t: number; at: number } | null): RunResult['flash'] => of === null ? null : { observedCelsius: of.at, correctedCelsius: of.at, reportedCelsius: Math.round(of.at), timeSeconds: of.t };
  const result: RunResult = { verdict: 'doubtful', flash: point(flash), fire: point(fire), stationKilopascals: 101.3, applications, findings };
  enter('closed', end, temperature);
  say({ kind: 'run-closed', atSeconds: end, result });
  return { ...script, seconds: end, result };
}
