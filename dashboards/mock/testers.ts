import type { DriveOverview, TesterOverview } from '../src/contract';
import type { PlayedRun } from './playedRun';
import { thermometerOf } from './thermometers';

/** One tester in each condition that the page must tell apart, and thermometers of several kinds, one of which opens now and then. */
export function testersNow(current: (testerId: string) => PlayedRun | undefined, drive: DriveOverview): readonly TesterOverview[] {
  const now = new Date().toISOString();
  const of = (id: string, name: string, source: string, more: Partial<TesterOverview> = {}): TesterOverview => tester(id, name, source, current(id), more);
  return [
    of('north', 'North bench', 'serial, 115200 baud'),
    of('hall', 'Hall bench', 'mqtt, acquire/hall', { drive, mode: 'driven' }),
    of('annex', 'Annex bench', 'serial, 57600 baud'),
    of('south', 'South bench', 'serial, 115200 baud', {
      alarms: [{ code: 'calibration-overdue', text: `The thermometer's calibration (certificate C-114) was due on ${thermometerOf('south').overview.calibrationDueOn}. Have it calibrated; runs made with it are doubtful.`, since: now }],
    }),
    of('east', 'East hood', 'mqtt, hall/east', {
      secondsSinceReading: 41.5,
      counters: { rows: 18_422, malformed: 17, queueFull: 2, queueDepth: 12, queueCapacity: 4096, missed: 0, repeated: 0, late: 0 },
      lastRefusal: 'line 18440: "temperature" is 1e9; allowed is −30 to 450 °C',
      alarms: [{ code: 'stream-stale', text: 'No thermometer reading for 41 s. Look at the cable and the converter.', since: now }],
    }),
    of('west', 'West hood', 'mqtt, hall/west', {
      connection: 'down',
      connectionText: 'Connection refused by 10.0.0.7:1883; next try in 8 s',
      secondsSinceReading: 1260,
      alarms: [{ code: 'source-down', text: 'The source is not connected since 14:02.', since: now }],
    }),
    of('spare', 'Spare tester', 'serial, 9600 baud', { secondsSinceReading: null, mode: 'guided' }),
  ];
}

function tester(id: string, name: string, source: string, run: PlayedRun | undefined, more: Partial<TesterOverview>): TesterOverview {
  return {
    id,
    name,
    source,
    connection: 'up',
    connectionText: null,
    secondsSinceReading: 0.1,
    counters: { rows: (run?.points ?? 0) * 6, malformed: 0, queueFull: 0, queueDepth: 0, queueCapacity: 4096, missed: 0, repeated: 0, late: 0 },
    lastRefusal: null,
    alarms: run?.alarms ?? [],
    run: run?.summary ?? null,
    status: run?.status ?? null,
    thermometer: thermometerOf(id).overview,
    drive: null,
    ambient: null,
    mode: 'observed',
    ...more,
  };
}
