import { describe, expect, it } from 'vitest';
import { detail, fact, factKinds, overview, update } from './contractShapes';
import handOverview from './fixtures/overview.json';
import handUpdate from './fixtures/run-update.json';
import facts from './fixtures/service-facts.json';
import serviceDetail from './fixtures/service-run-detail.json';
import serviceUpdate from './fixtures/service-run-update.json';
import serviceOverview from './fixtures/service-tester-overview.json';
import { list } from './shape';

describe('what the service sends', () => {
  it('is every kind of fact that the page knows, and no other', () => {
    const read = list(fact)(facts, 'facts');
    expect(read.map((one) => one.kind).sort()).toEqual([...factKinds].sort());
  });

  it('is an overview, an update and a detail as the contract says', () => {
    expect(overview(serviceOverview, 'overview').run?.result?.reasons).toHaveLength(1);
    expect(update(serviceUpdate, 'update').events.length).toBe(factKinds.length);
    expect(detail(serviceDetail, 'detail').plan.method.sources.length).toBeGreaterThan(0);
  });

  it('is what the other tests are told it sends', () => {
    expect(list(overview)(handOverview, 'overview')).toHaveLength(2);
    expect(update(handUpdate, 'update').events.length).toBeGreaterThan(0);
  });
});

describe('the checks', () => {
  const good = facts[4]!;

  it('refuse a name that is missing, one that is not known, and a value of another kind', () => {
    const { atSeconds, ...rest } = good;
    expect(() => fact(rest, 'fact')).toThrow('fact.atSeconds: is missing');
    expect(() => fact({ ...rest, atSecond: atSeconds }, 'fact')).toThrow('the contract knows no atSecond');
    expect(() => fact({ ...good, atSeconds: '4' }, 'fact')).toThrow('fact.atSeconds: "4" is not a number');
    expect(() => fact({ ...good, kind: 'flash-seen' }, 'fact')).toThrow('"flash-seen" is no kind of fact');
  });

  it('take a flash and a fire point whose temperature was not read', () => {
    for (const one of facts.filter(({ kind }) => kind === 'flash-detected' || kind === 'fire-detected')) expect(fact({ ...one, temperatureCelsius: null }, 'fact')).toMatchObject({ kind: one.kind });
  });
});
