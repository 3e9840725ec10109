import { describe, expect, it } from 'vitest';
import d92 from '../../src/Acquire.Core/Methods/Data/astm-d92-18.json';
import d56 from '../../src/Acquire.Core/Methods/Data/astm-d56-22.json';
import iso2592 from '../../src/Acquire.Core/Methods/Data/iso-2592-2017.json';
import iso2719 from '../../src/Acquire.Core/Methods/Data/iso-2719-2016-b.json';
import iso3679a from '../../src/Acquire.Core/Methods/Data/iso-3679-2022-a.json';
import iso3679b from '../../src/Acquire.Core/Methods/Data/iso-3679-2022-b.json';
import { flameSpans } from '../src/chart/drawFlame';
import { isolatedIndices } from '../src/chart/isolated';
import { visibleTime, visibleValues } from '../src/chart/timeWindow';
import type { MethodDefinition, RunOutput } from '../src/contract';
import { asks } from '../src/method';
import { readRoute } from '../src/route';
import { openRun } from '../src/state/runView';
import { spoken } from '../src/views/liveReadouts';
import { besideBand, rulerEnds } from '../src/views/rateGauge';
import { fieldOf, pressureUnits, readEntry, type StartEntry } from '../src/views/startEntry';
import { bandLine, nextApplication, phaseOf, rateFigure } from '../src/views/statusWords';
import lock from '../package-lock.json?raw';
import { overviewFixture } from './fixtures';

const status = overviewFixture[0]!.status!;

describe('the contract', () => {
  it('fits the method files of the service', () => {
    const methods: readonly MethodDefinition[] = [d92, iso2592, d56, iso2719, iso3679a, iso3679b];
    for (const method of methods) {
      expect(method.cautions.length).toBeGreaterThan(0);
      expect(asks(method)).toBe(method === iso3679a ? 'specification' : 'expected');
      expect(method.ramp?.controlledHeatingCelsiusPerMinute.to ?? 1).toBeGreaterThan(0);
    }
  });

  it('speaks in words a technician knows', () => {
    expect(phaseOf(status, null)).toBe('Heating to fire point');
    expect(rateFigure(status)).toBe('5.42 ± 0.08');
    expect(rateFigure({ ...status, rateUncertaintyCelsiusPerMinute: 0.003 })).toBe('5.42 ± 0.01');
    expect(bandLine(status)).toBe('inside the band 5 to 6 °C/min');
    expect(nextApplication(status)).toBe('238.0 °C in 21 s');
    expect(rateFigure({ ...status, rateCelsiusPerMinute: null })).toBeNull();
    expect(bandLine({ ...status, rateCelsiusPerMinute: 6.4 })).toBe('▲ above the band 5 to 6 °C/min');
  });
});

describe('what is said aloud of a run', () => {
  const unread = { ...status, observedFlashCelsius: null, observedFireCelsius: null };
  const flash: RunOutput = { kind: 'flash-detected', atSeconds: 900, temperatureCelsius: null, applicationNumber: 9 };
  const fire: RunOutput = { kind: 'fire-detected', atSeconds: 990, onsetSeconds: 985, temperatureCelsius: null };

  it('is a point that was seen, also where its temperature was not read', () => {
    expect(spoken({ ...openRun('a'), status: unread })).toBe('Heating to fire point.');
    expect(spoken({ ...openRun('a'), status: unread, events: [flash] })).toBe('Flash seen; its temperature was not read. Heating to fire point.');
    expect(spoken({ ...openRun('a'), status: { ...unread, observedFlashCelsius: 230 }, events: [flash, fire] })).toBe('Fire point seen; its temperature was not read. Heating to fire point.');
    expect(spoken({ ...openRun('a'), status: { ...unread, observedFlashCelsius: 230 }, events: [flash] })).toBe('Flash at 230.0 °C. Heating to fire point.');
  });
});

describe('routes', () => {
  it('lead to what they name and to the testers otherwise', () => {
    expect(readRoute('#/tester/a%20b')).toEqual({ kind: 'tester', id: 'a b' });
    expect(readRoute('#/run/20260304-1')).toEqual({ kind: 'run', id: '20260304-1' });
    for (const hash of ['', '#/', '#/run/', '#/run/%E0%A4%A', '#/other/1', '#/run/a/b']) expect(readRoute(hash)).toEqual({ kind: 'testers' });
  });
});

describe('the start form', () => {
  const entry: StartEntry = { methodId: 'm', expectedFlash: '230,5', stationPressure: '', pressureUnit: 'kPa', specimen: ' Gear oil ', material: '', scouting: false, specification: null, fineStep: false };

  it('reads a comma as the decimal sign and an empty pressure as none', () => {
    expect(readEntry(entry)).toEqual({
      request: { methodId: 'm', expectedFlashCelsius: 230.5, stationPressureKilopascals: null, specimen: 'Gear oil', stationPressure: null, material: null, scouting: false, specificationCelsius: null, fineStep: false },
    });
  });

  it('sends the material that the method names, and null for every other', () => {
    expect(readEntry({ ...entry, material: 'residual fuel' })).toMatchObject({ request: { material: 'residual fuel' } });
    expect(readEntry(entry)).toMatchObject({ request: { material: null } });
  });

  it('sends a pressure as it was read, digit for digit, with its unit', () => {
    const sent = (stationPressure: string, pressureUnit: StartEntry['pressureUnit']): unknown => readEntry({ ...entry, stationPressure, pressureUnit });
    expect(sent(' 973,20 ', 'hPa')).toMatchObject({ request: { stationPressure: '973.20 hPa', stationPressureKilopascals: null } });
    expect(sent('100.2', 'kPa')).toMatchObject({ request: { stationPressure: '100.2 kPa' } });
    expect(sent('\u22125', 'mmHg')).toMatchObject({ request: { stationPressure: '-5 mmHg' } });
    expect(pressureUnits).toEqual(['kPa', 'hPa', 'mbar', 'mmHg']);
  });

  it('takes no unit, power or second comma beside the number of a pressure', () => {
    for (const stationPressure of ['973 hPa', '1e3', '1,013,2', '1 013', 'kPa']) {
      expect(readEntry({ ...entry, stationPressure }), stationPressure).toMatchObject({ errors: [{ path: 'stationPressure' }] });
    }
  });

  it('names the field that is no number', () => {
    expect(readEntry({ ...entry, expectedFlash: '', stationPressure: '1e3' })).toMatchObject({
      errors: [{ path: 'expectedFlashCelsius' }, { path: 'stationPressure' }],
    });
  });

  it('sends no expected flash point for a scouting run or a specification', () => {
    expect(readEntry({ ...entry, expectedFlash: 'left over', scouting: true })).toMatchObject({ request: { expectedFlashCelsius: null, scouting: true, specificationCelsius: null } });
    expect(readEntry({ ...entry, expectedFlash: '', specification: '60,5' })).toMatchObject({ request: { expectedFlashCelsius: null, scouting: false, specificationCelsius: 60.5 } });
    expect(readEntry({ ...entry, specification: '' })).toMatchObject({ errors: [{ path: 'specificationCelsius' }] });
    expect(readEntry({ ...entry, specification: 'hot' })).toMatchObject({ errors: [{ path: 'specificationCelsius' }] });
  });

  it('leaves limits to the service', () => {
    expect(readEntry({ ...entry, expectedFlash: '9999' })).toMatchObject({ request: { expectedFlashCelsius: 9999 } });
  });

  it('finds the field behind a path', () => {
    expect(['specimen', '$.Specimen', 'request.expectedFlashCelsius', 'stationPressure'].map(fieldOf)).toEqual(['specimen', 'specimen', 'expectedFlashCelsius', 'stationPressure']);
  });
});

describe('the chart', () => {
  it('shows the whole run with room to grow, or the newest stretch, or what was chosen', () => {
    expect(visibleTime({ kind: 'whole' }, 0, 10)).toEqual({ from: 0, to: 60 });
    expect(visibleTime({ kind: 'newest', seconds: 300 }, 0, 1000)).toEqual({ from: 700, to: 1009 });
    expect(visibleTime({ kind: 'fixed', from: 5, to: 5.1 }, 0, 1000)).toEqual({ from: 5, to: 7 });
  });

  it('never narrows a value axis to noise', () => {
    expect(visibleValues(60, 60.1, 4, { below: 0, above: 0 })).toEqual([58.05, 62.05]);
    expect(visibleValues(null, null, 4, { below: 0, above: 0 })).toEqual([0, 4]);
  });

  it('dots a reading that stands alone between gaps', () => {
    expect(isolatedIndices([1, null, 2, null, 3, 4, null, 5], 0, 7)).toEqual([0, 2, 7]);
  });

  it('finds when the flame was over the cup', () => {
    expect(flameSpans({ time: [0, 1, 2, 3, 4], flame: [false, true, true, false, true] })).toEqual([[1, 3], [4, 4]]);
  });

  it('rules the gauge around the band', () => {
    expect(rulerEnds({ from: 5, to: 6 })).toEqual({ from: 3, to: 8 });
    expect(besideBand(null, { from: 5, to: 6 })).toBe('unknown');
    expect(besideBand(6.01, { from: 5, to: 6 })).toBe('above');
  });
});

describe('the source', () => {
  const files = import.meta.glob<string>('../src/**/*.ts', { query: '?raw', import: 'default', eager: true });

  it('puts text in as text only', () => {
    expect(Object.keys(files).length).toBeGreaterThan(30);
    for (const [name, text] of Object.entries(files)) {
      expect(text, name).not.toMatch(/innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(/);
    }
  });

  it('names no registry in the lock file', () => {
    expect(lock).not.toContain('"resolved"');
  });
});
