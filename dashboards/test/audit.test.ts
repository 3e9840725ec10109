import { describe, expect, it } from 'vitest';
import type { RunAudit, RunResult } from '../src/contract';
import { auditLines, auditStanding } from '../src/views/auditTable';
import { dayBounds } from '../src/views/runSearch';

const empty: RunAudit = { corrections: [], results: [], approvals: [], holds: [], onHold: false, originalResult: null, remark: null, approved: false, imports: [] };

const told: RunAudit = {
  ...empty,
  holds: [{ number: 1, at: '2026-03-05T08:00:00Z', person: 'Ada', held: true, reason: 'a complaint is open' }],
  corrections: [{ number: 1, at: '2026-03-03T08:00:00Z', person: 'Ada', field: 'station-pressure', oldValue: null, newValue: '98.7', reason: 'read in the wrong line' }],
  results: [{ number: 1, correction: 1, at: '2026-03-03T08:00:00Z', softwareVersion: '0.1.0', repeats: false, result: { verdict: 'doubtful' } as RunResult }],
  approvals: [{ number: 1, at: '2026-03-04T08:00:00Z', person: 'Bea', corrections: 1 }],
  approved: true,
  onHold: true,
};

describe('what was added to a run after its end', () => {
  it('stands in the order in which it came, with old and new value, unit, person and reason', () => {
    const lines = auditLines(told);
    expect(lines.map((line) => line.what)).toEqual(['Pressure: nothing → 98.7 kPa', 'Judged anew after correction 1: doubtful', 'Approved as corrected (1)', 'On hold: not to be pruned']);
    expect(lines[0]).toMatchObject({ person: 'Ada', why: 'read in the wrong line' });
    expect(lines[1]?.why).toContain('judges otherwise');
    expect(auditLines(empty)).toEqual([]);
  });

  it('says by whom a run is approved, and that a later correction took that away', () => {
    expect(auditStanding(told)).toBe('Approved by Bea. On hold.');
    expect(auditStanding({ ...told, approved: false, onHold: false })).toBe('Corrected since it was approved: it is not approved any longer.');
    expect(auditStanding(empty)).toBe('');
  });
});

describe('a day among past runs', () => {
  it('goes from midnight to the next midnight here, also over the end of a year and where clocks are set', () => {
    for (const day of ['2026-12-31', '2026-03-29', '2026-10-25', '2028-02-29']) {
      const bounds = dayBounds(day);
      const [from, to] = [new Date(bounds?.from ?? ''), new Date(bounds?.to ?? '')];
      expect([from.getHours(), to.getHours()]).toEqual([0, 0]);
      expect((to.getTime() - from.getTime()) / 3_600_000).toBeGreaterThanOrEqual(23);
      expect((to.getTime() - from.getTime()) / 3_600_000).toBeLessThanOrEqual(25);
    }
  });

  it('is none where nothing or something else was entered', () => {
    expect(['', '1.2.2026', '2026-1-1'].map(dayBounds)).toEqual([null, null, null]);
  });
});
