import d92 from '../../src/Acquire.Core/Methods/Data/astm-d92-18.json';
import iso2592 from '../../src/Acquire.Core/Methods/Data/iso-2592-2017.json';
import type { Backend, LiveListener, RunReader } from '../src/backend';
import type { InputError, MethodDefinition, RunPlan, RunStatus, RunSummary, TesterOverview } from '../src/contract';
import { makeScript, type Script } from './script';

const methods: readonly MethodDefinition[] = [d92, iso2592];
const method: MethodDefinition = d92;

interface Played {
  readonly script: Script;
  readonly plan: RunPlan;
  readonly summary: RunSummary;
  /** The browser's time at which the run's axis was 0, and how much faster than life it plays. */
  readonly origin: number;
  readonly speed: number;
}

export interface MockSettings {
  /** Where the main run stands when the page is opened, s. */
  readonly at: number;
  readonly speed: number;
  /** The line is lost this long after the page was opened, s; null to keep it. */
  readonly lostAfter: number | null;
}

/** Invented testers that play invented runs: for working on the page without a service. */
export function mockFeed(settings: MockSettings): Backend {
  const opened = Date.now();
  const runs = new Map<string, Played>();
  const current = new Map<string, string>();
  let serial = 0;

  const play = (testerId: string, specimen: string, expected: number, at: number, speed: number, pressure: number | null, startedAgo = at): void => {
    const id = `${testerId}-${String(++serial).padStart(4, '0')}`;
    const startedAt = new Date(opened - startedAgo * 1000).toISOString();
    runs.set(id, {
      script: makeScript(method, expected, 7 + serial),
      plan: { method, expectedFlashCelsius: expected, stationPressureKilopascals: pressure, hasFlameSignal: true, firstApplicationCelsius: expected - method.applications.firstBelowExpectedCelsius },
      summary: { id, testerId, methodId: method.id, specimen, expectedFlashCelsius: expected, startedAt, closedAt: null, archivedRows: 0, interrupted: false, result: null },
      origin: Date.now() - (at / speed) * 1000,
      speed,
    });
    current.set(testerId, id);
  };
  play('north', 'Turbine oil, lot 0418', 222, 99_999, 1, 100.8, 86_400);
  play('south', 'Base oil, drum 12', 236, 99_999, 1, null, 7_200);
  play('north', 'Gear oil, lot 7731', 230, settings.at, settings.speed, null);
  play('east', 'Transformer oil, tank 3', 146, 640, 0.0001, 99.2);

  const lost = (): boolean => settings.lostAfter !== null && Date.now() - opened > settings.lostAfter * 1000;
  const indexOf = (run: Played): number => Math.min(run.script.time.length, Math.floor((((Date.now() - run.origin) / 1000) * run.speed) / 0.2));
  const isOver = (run: Played): boolean => indexOf(run) >= run.script.time.length;
  const summaryOf = (run: Played): RunSummary => ({
    ...run.summary,
    archivedRows: indexOf(run) * 6,
    closedAt: isOver(run) ? new Date(Date.parse(run.summary.startedAt) + run.script.seconds * 1000).toISOString() : null,
    result: isOver(run) ? run.script.result : null,
  });
  const statusOf = (run: Played): RunStatus | null => (isOver(run) ? null : (run.script.status[indexOf(run) - 1] ?? null));
  const eventsOf = (run: Played): Script['events'] => {
    const until = isOver(run) ? Number.POSITIVE_INFINITY : (run.script.time[indexOf(run) - 1] ?? -1);
    return run.script.events.filter((event) => event.atSeconds <= until);
  };
  const find = (runId: string): Played => {
    const run = runs.get(runId);
    if (run === undefined) throw new Error('The service knows nothing under this name.');
    return run;
  };

  const overview = (): TesterOverview[] => {
    const tester = (id: string, name: string, source: string, more: Partial<TesterOverview>): TesterOverview => {
      const run = runs.get(current.get(id) ?? '');
      return {
        id, name, source, connection: 'up', connectionText: null, secondsSinceReading: 0.1,
        counters: { rows: run === undefined ? 0 : indexOf(run) * 6, malformed: 0, queueFull: 0, queueDepth: 0, queueCapacity: 4096 },
        lastRefusal: null, alarms: run === undefined || isOver(run) ? [] : standing(eventsOf(run), run),
        run: run === undefined ? null : summaryOf(run), status: run === undefined ? null : statusOf(run), ...more,
      };
    };
    return [
      tester('north', 'North bench', 'serial, 115200 baud', {}),
      tester('south', 'South bench', 'serial, 115200 baud', {}),
      tester('east', 'East hood', 'mqtt, hall/east', {
        secondsSinceReading: 41.5,
        counters: { rows: 18_422, malformed: 17, queueFull: 2, queueDepth: 12, queueCapacity: 4096 },
        lastRefusal: 'line 18440: "temperature" is 1e9; allowed is −30 to 450 °C',
        alarms: [{ code: 'stream-stale', text: 'No thermometer reading for 41 s. Look at the cable and the converter.', since: new Date().toISOString() }],
      }),
      tester('west', 'West hood', 'mqtt, hall/west', { connection: 'down', connectionText: 'Connection refused by 10.0.0.7:1883; next try in 8 s', secondsSinceReading: 1260, alarms: [{ code: 'source-down', text: 'The source is not connected since 14:02.', since: new Date().toISOString() }] }),
      tester('spare', 'Spare tester', 'serial, 9600 baud', { secondsSinceReading: null }),
    ];
  };

  return {
    methods: () => Promise.resolve(methods),
    runs: (testerId, limit) =>
      Promise.resolve([...runs.values()].map(summaryOf).filter((run) => testerId === null || run.testerId === testerId).reverse().slice(0, limit)),
    run: (runId) => Promise.resolve().then(() => ({ summary: summaryOf(find(runId)), plan: find(runId).plan, events: eventsOf(find(runId)) })),
    start: (testerId, request) => {
      const errors: InputError[] = [];
      if (request.expectedFlashCelsius < -30 || request.expectedFlashCelsius > 400) errors.push({ path: 'expectedFlashCelsius', message: `${request.expectedFlashCelsius} °C was given; allowed is −30 to 400 °C.` });
      if (request.stationPressureKilopascals !== null && (request.stationPressureKilopascals < 45 || request.stationPressureKilopascals > 110)) errors.push({ path: 'stationPressureKilopascals', message: `${request.stationPressureKilopascals} kPa was given; allowed is 45 to 110 kPa.` });
      if (request.specimen === '') errors.push({ path: 'specimen', message: 'Say what is in the cup: 1 to 80 characters.' });
      if (errors.length > 0) return Promise.resolve({ kind: 'refused', errors });
      play(testerId, request.specimen, request.expectedFlashCelsius, 0, settings.speed, request.stationPressureKilopascals);
      return Promise.resolve({ kind: 'started', run: summaryOf(find(current.get(testerId) ?? '')) });
    },
    stop: () => Promise.resolve({ kind: 'refused', text: 'The mock feed plays every run to its end.' }),
    csvAddress: () => '#/',
    open: (listener: LiveListener) => {
      let told = false;
      setInterval(() => {
        if (!lost()) listener.overview(overview());
        else if (!told) {
          told = true;
          listener.link('lost');
        }
      }, 200);
      setTimeout(() => listener.link('up'), 0);
    },
    follow: (reader: RunReader) => {
      const send = (): void => {
        const run = runs.get(reader.runId);
        if (run === undefined || lost()) return;
        const { points, events } = reader.held();
        const index = indexOf(run);
        const { time, temperature, low, high, flame } = run.script;
        reader.update({
          curve: { from: points, time: time.slice(points, index), temperature: temperature.slice(points, index), detectorLow: low.slice(points, index), detectorHigh: high.slice(points, index), flame: flame.slice(points, index) },
          eventsFrom: events, events: eventsOf(run).slice(events), status: statusOf(run), summary: summaryOf(run),
        });
        if (isOver(run)) clearInterval(timer);
      };
      const timer = setInterval(send, 200);
      return () => clearInterval(timer);
    },
  };
}

function standing(events: Script['events'], run: Played): TesterOverview['alarms'] {
  const open = new Map<string, TesterOverview['alarms'][number]>();
  for (const event of events) {
    if (event.kind === 'alarm-raised') open.set(event.code, { code: event.code, text: event.text, since: run.summary.startedAt });
    if (event.kind === 'alarm-cleared') open.delete(event.code);
  }
  return [...open.values()];
}
