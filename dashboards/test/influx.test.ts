import { describe, expect, it } from 'vitest';
import type { InfluxOverview, InfluxStatus } from '../src/contract';
import { influxWords } from '../src/views/influxNote';
import sent from './fixtures/service-influx.json';
import { list, moment, number, orNull, shape, text, word } from './shape';

const overview = shape<InfluxOverview>({
  target: text, state: word({ current: true, sending: true, waiting: true, refused: true }), text: orNull(text), nextTryAt: orNull(moment), lagRuns: number, lagRows: number, lagSeconds: number, lagAlarmSeconds: number,
  takenAt: orNull(moment), lines: number, requests: number, setAside: number, warnings: list(text), alarms: list(shape({ code: text, text, since: moment })),
});
const status = shape<InfluxStatus>({ endpoint: orNull(overview) });

describe('handing on to InfluxDB', () => {
  it('comes as the page expects it', () => {
    expect(status(sent, 'influx').endpoint?.lagRows).toBe(90000);
  });

  it('is told with its alarms, its warnings and what waits, and not at all where nothing is handed on', () => {
    const endpoint = status(sent, 'influx').endpoint!;
    expect(influxWords({ endpoint })).toEqual([
      'InfluxDB is 7 min behind (allowed: 5 min).',
      'influx.tokenFile: influx.token can be read or changed by every user of this computer, and with it the bucket; take that right away (chmod 600 influx.token).',
      "InfluxDB at https://influx.example:8086/ (org 'lab', bucket 'oils'): 90000 readings wait, 422 s behind; nothing listens at https://influx.example:8086/: start the server, or check influx.url.",
    ]);
    expect(influxWords({ endpoint: { ...endpoint, alarms: [], warnings: [], state: 'current' } })).toEqual(["InfluxDB at https://influx.example:8086/ (org 'lab', bucket 'oils') has everything."]);
    expect(influxWords({ endpoint: null })).toEqual([]);
  });
});
