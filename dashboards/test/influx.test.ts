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
      "InfluxDB at https://influx.example:8086/ (org 'lab', bucket 'oils'): nothing listens at https://influx.example:8086/: start the server, or check influx.url.",
    ]);
    expect(influxWords({ endpoint: { ...endpoint, alarms: [], warnings: [], setAside: 0, state: 'current' } })).toEqual(["InfluxDB at https://influx.example:8086/ (org 'lab', bucket 'oils') has everything."]);
    expect(influxWords({ endpoint: null })).toEqual([]);
  });

  it('says nothing twice that an alarm says already', () => {
    const endpoint = { ...status(sent, 'influx').endpoint!, warnings: [] };
    const words = endpoint.text!;
    const behind = { code: 'influx-behind', text: `InfluxDB is 7 min behind (allowed: 5 min); 90000 readings of 2 runs wait: ${words}. Nothing is lost: everything is in the archive.`, since: endpoint.alarms[0]!.since };
    const refused = { ...behind, code: 'influx-refused', text: `InfluxDB takes nothing: ${words}. Everything is in the archive.` };
    const at = "InfluxDB at https://influx.example:8086/ (org 'lab', bucket 'oils')";

    expect(influxWords({ endpoint: { ...endpoint, alarms: [behind] } })).toEqual([behind.text, "This InfluxDB is at https://influx.example:8086/ (org 'lab', bucket 'oils')."]);
    expect(influxWords({ endpoint: { ...endpoint, state: 'refused', alarms: [refused] } })).toEqual([refused.text, `${at}: 90000 readings wait, 422 s behind.`]);
    const apart = { ...behind, text: 'InfluxDB is 7 min behind (allowed: 5 min); 90000 readings of 2 runs wait. Nothing is lost: everything is in the archive.' };
    expect(influxWords({ endpoint: { ...endpoint, state: 'refused', alarms: [refused, apart] } }).filter((sentence) => sentence.includes(words))).toEqual([refused.text]);
    expect(influxWords({ endpoint: { ...endpoint, alarms: [] } })).toEqual([`${at}: 90000 readings wait, 422 s behind; ${words}.`]);
    expect(influxWords({ endpoint: { ...endpoint, state: 'sending', text: null, alarms: [] } })).toEqual([`${at}: 90000 readings wait, 422 s behind.`]);
    expect(influxWords({ endpoint: { ...endpoint, state: 'current', text: null, alarms: [], setAside: 3 } })).toEqual([`${at} has everything but what is set aside.`]);
  });
});
