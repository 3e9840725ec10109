import { parquetMetadata, parquetReadObjects } from 'hyparquet';
import { describe, expect, it } from 'vitest';
import { parquet, readings } from './fixtures/service-readings.json';

// The service's export, read by a reader that has nothing to do with the library that wrote it.
const file = Uint8Array.from(atob(parquet), (letter) => letter.charCodeAt(0)).buffer;
const names = readings.columns.map((column) => column.name);

describe('the readings of a run as Parquet', () => {
  it('holds every number to the last bit, and nothing where a channel was not there', async () => {
    const rows = await parquetReadObjects({ file });

    expect(rows).toHaveLength(readings.rows.length);
    rows.forEach((row, i) => {
      names.forEach((name, j) => {
        const [found, written] = [row[name] ?? null, readings.rows[i]?.[j] ?? null];
        // A whole number of 64 bits does not fit into a number of JSON; it is compared by its digits below.
        if (typeof found !== 'bigint') expect(Object.is(found, written), `${name} of row ${i}: ${String(found)} where ${String(written)} was written`).toBe(true);
      });
    });
  });

  it('keeps whole numbers that no double holds', async () => {
    const rows = await parquetReadObjects({ file });

    expect(rows.map((row) => row['command'] ?? null)).toEqual([9007199254740993n, null, null, null]);
  });

  it('says which run it is of, and in which units', () => {
    const pairs = new Map(parquetMetadata(file).key_value_metadata?.map((pair) => [pair.key, pair.value]));

    expect(pairs.get('acquire.format')).toBe('acquire-readings-1');
    expect(pairs.get('acquire.run')).toBe('r-1');
    readings.columns.forEach((column) => expect(pairs.get(`acquire.unit.${column.name}`) ?? null).toBe(column.unit));
  });
});
