import d92 from '../../src/Acquire.Core/Methods/Data/astm-d92-18.json';
import iso2592 from '../../src/Acquire.Core/Methods/Data/iso-2592-2017.json';
import type { Backend, LiveListener, RunReader, StartOutcome } from '../src/backend';
import type { InputError, MethodDefinition, StartRunRequest } from '../src/contract';
import { stationPressure } from './stationPressure';
import { DrivenTester } from './drivenTester';
import { PlayedRun, type Part } from './playedRun';
import { testersNow } from './testers';

export interface MockSettings {
  /** Where the main run stands when the page is opened, s. */
  readonly at: number;
  readonly speed: number;
  /** The line is lost this long after the page was opened, s; null to keep it. */
  readonly lostAfter: number | null;
  /** Whether the heater of the driven tester has just been cut by the guard. */
  readonly tripped: boolean;
}

const methods: readonly MethodDefinition[] = [d92, iso2592];
const every = 200;

/** Invented testers that play invented runs: for working on the page without a service. */
export function mockFeed(settings: MockSettings): Backend {
  const opened = Date.now();
  const runs = new Map<string, PlayedRun>();
  const current = new Map<string, PlayedRun>();
  const driven = new DrivenTester(settings.tripped);
  const lost = (): boolean => settings.lostAfter !== null && Date.now() - opened > settings.lostAfter * 1000;

  const play = (part: Part, method: MethodDefinition = d92): PlayedRun => {
    const run = new PlayedRun(`${part.testerId}-${String(runs.size + 1).padStart(4, '0')}`, part, method, 8 + runs.size);
    runs.set(run.id, run);
    current.set(part.testerId, run);
    return run;
  };
  for (const part of parts(settings)) play(part);

  return {
    methods: () => Promise.resolve(methods),
    configuration: () => Promise.resolve({ file: null, takenAt: new Date().toISOString(), taken: 0, refused: 0, added: 0, changed: 0, removed: 0, mistakes: [], waiting: [] }),
    influx: () => Promise.resolve({ endpoint: null }),
    runs: ({ testerId, specimen, verdict, after, limit }) => {
      const newestFirst = [...runs.values()].map((run) => run.summary).reverse();
      const from = after === null ? 0 : newestFirst.findIndex((run) => run.id === after) + 1;
      const asked = newestFirst.slice(from).filter((run) =>
        (testerId === null || run.testerId === testerId)
        && (specimen === null || run.specimen.toLowerCase().includes(specimen.toLowerCase()))
        && (verdict === null || run.result?.verdict === verdict));
      return Promise.resolve(asked.slice(0, limit));
    },
    run: (runId) => {
      const run = runs.get(runId);
      return run === undefined ? Promise.reject(new Error('The service knows nothing under this name.')) : Promise.resolve(run.detail);
    },
    start: (testerId, request) => Promise.resolve(start(testerId, request, settings.speed, play)),
    stop: () => Promise.resolve({ kind: 'refused', text: 'The mock feed plays every run to its end.' }),
    charge: () => Promise.resolve({ kind: 'refused', text: 'The mock feed plays no equilibrium run.' }),
    observe: () => Promise.resolve({ kind: 'refused', text: 'The mock feed plays no guided run.' }),
    takeBack: () => Promise.resolve({ kind: 'refused', text: 'The mock feed plays no guided run.' }),
    heater: (runId, request) => Promise.resolve(runs.get(runId)?.mode === 'driven' ? driven.heater(request) : { kind: 'refused', text: 'This tester is not driven.' }),
    csvAddress: () => '#/',
    observationsAddress: () => '#/',
    thermometerAddress: () => '#/',
    wireAddress: () => '#/',
    open: (listener) => tellTesters(listener, lost, current, driven),
    follow: (reader) => tellRun(reader, lost, runs.get(reader.runId)),
  };
}

function parts({ at, speed }: MockSettings): readonly Part[] {
  const done = { at: 99_999, speed: 1 };
  return [
    { testerId: 'north', specimen: 'Turbine oil, lot 0418', expected: 222, pressure: 100.8, startedAgo: 86_400, ...done },
    { testerId: 'south', specimen: 'Base oil, drum 12', expected: 236, pressure: null, startedAgo: 7200, endsBeforeFire: true, ...done },
    { testerId: 'north', specimen: 'Gear oil, lot 7731', expected: 230, pressure: null, startedAgo: at, at, speed },
    // Where the main run is opened at 0 s, this one has just lost its thermometer.
    { testerId: 'annex', specimen: 'Hydraulic oil, lot 22', expected: 206, pressure: 100.1, startedAgo: 520 + at, at: 520 + at, speed },
    { testerId: 'hall', specimen: 'Heat transfer oil, lot 5', expected: 228, pressure: 99.8, startedAgo: 300 + at, at: 300 + at, speed, mode: 'driven' },
    { testerId: 'east', specimen: 'Transformer oil, tank 3', expected: 146, pressure: 99.2, startedAgo: 640, at: 640, speed: 0.0001 },
  ];
}

function start(testerId: string, request: StartRunRequest, speed: number, play: (part: Part, method?: MethodDefinition) => PlayedRun): StartOutcome {
  const { specimen } = request;
  const expected = request.expectedFlashCelsius ?? Number.NaN;
  const errors: InputError[] = [];
  if (request.scouting || request.specificationCelsius !== null) errors.push({ path: 'methodId', message: 'The mock feed plays neither scouting runs nor equilibrium procedures.' });
  else if (!(expected >= -30 && expected <= 400)) errors.push({ path: 'expectedFlashCelsius', message: `${expected} °C was given; allowed is −30 to 400 °C.` });
  const pressure = stationPressure(request.stationPressure, errors);
  if (specimen === '') errors.push({ path: 'specimen', message: 'Say what is in the cup: 1 to 80 characters.' });
  if (errors.length > 0) return { kind: 'refused', errors };
  const method = methods.find((one) => one.id === request.methodId);
  return { kind: 'started', run: play({ testerId, specimen, expected, pressure, at: 0, speed, startedAgo: 0 }, method).summary };
}

function tellTesters(listener: LiveListener, lost: () => boolean, current: ReadonlyMap<string, PlayedRun>, driven: DrivenTester): void {
  listener.link('up');
  const timer = setInterval(() => {
    if (!lost()) listener.overview(testersNow((id) => current.get(id), driven.overview));
    else {
      clearInterval(timer);
      listener.link('lost');
    }
  }, every);
}

function tellRun(reader: RunReader, lost: () => boolean, run: PlayedRun | undefined): () => void {
  const timer = setInterval(() => {
    if (run === undefined || lost()) return;
    const held = reader.held();
    reader.update(run.since(held.points, held.events));
    if (run.isOver) clearInterval(timer);
  }, every);
  return () => clearInterval(timer);
}
