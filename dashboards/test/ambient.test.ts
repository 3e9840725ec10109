import { describe, expect, it } from 'vitest';
import type { AmbientOverview, RunDetail, TesterOverview } from '../src/contract';
import { ambientLine, emptyPressure, originWords } from '../src/views/ambientWords';
import serviceDetail from './fixtures/service-run-detail.json';
import serviceOverview from './fixtures/service-tester-overview.json';

const sent = (serviceOverview as unknown as TesterOverview).ambient![0]!;
const fresh: AmbientOverview = { ...sent, connection: 'up', pressureKilopascals: { value: 99.617, secondsAgo: 3, stale: false }, ambientCelsius: null, airMetresPerSecond: null };

describe('a room that testers share', () => {
  it('is told with its values, and a value that is too old with its age and that it is not used', () => {
    expect(ambientLine(fresh)).toBe('Room 1: 99.62 kPa');
    expect(ambientLine(sent)).toBe('Room 1: 99.62 kPa, 23.4 °C (5 min 12 s ago, not used), /dev/ttyUSB3 was unplugged: plug it in again');
    expect(ambientLine({ ...fresh, pressureKilopascals: null })).toBe('Room 1: no reading yet');
  });

  it('gives the pressure of an empty field only while it is fresh', () => {
    expect(emptyPressure([fresh], '101.3')).toBe('empty: 99.62 kPa of Room 1');
    expect(emptyPressure([{ ...fresh, pressureKilopascals: { value: 99.6, secondsAgo: 90, stale: true } }], '101.3')).toBe('empty: 101.3 kPa assumed');
    expect(emptyPressure(null, '101.3')).toBe('empty: 101.3 kPa assumed');
  });

  it('is named as the origin of the pressure, or with the reason why it is not', () => {
    expect(originWords((serviceDetail as unknown as RunDetail).plan.barometer)).toBe(' (Room 1, 12 s old)');
    expect(originWords({ source: 'Room 1', kilopascals: null, ageSeconds: null, notUsed: 'it has said nothing yet' })).toBe(' (Room 1 not used: it has said nothing yet)');
    expect(originWords(null)).toBe('');
  });
});
