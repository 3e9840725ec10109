import { describe, expect, it } from 'vitest';
import { band, celsius, count, countdown, duration, figure, fixed, fixedOrLess, plain, runTime } from '../src/format';

describe('numbers for reading', () => {
  it('have a true minus sign and no negative zero', () => {
    expect(fixed(-12.34, 1)).toBe('\u221212.3');
    expect(fixed(-0.04, 1)).toBe('0.0');
  });

  it('say none where there is none', () => {
    expect(fixed(null, 1)).toBe('none');
    expect(celsius(null)).toBe('none');
    expect(fixed(Number.NaN, 1)).toBe('none');
  });

  it('are as short as they are exact', () => {
    expect([plain(10), plain(0.25), plain(101.3), plain(-1.5), plain(100)]).toEqual(['10', '0.25', '101.3', '\u22121.5', '100']);
  });

  it('are never zero when they are not', () => {
    expect([figure(0.3), figure(1.6), figure(0), figure(0.025), figure(0.00012345), figure(-0.025)]).toEqual(['0.3', '1.6', '0', '0.025', '0.000123', '\u22120.025']);
    expect([fixedOrLess(0.57735, 3), fixedOrLess(0.0004, 3), fixedOrLess(0.0006, 3), fixedOrLess(0, 3)]).toEqual(['0.577', '<\u00a00.001', '0.001', '0.000']);
  });

  it('carry their unit', () => {
    expect(celsius(218.16)).toBe('218.2 °C');
    expect(band({ from: 5, to: 6 })).toBe('5 to 6 °C/min');
    expect(count(12345)).toBe('12,345');
  });
});

describe('times for reading', () => {
  it('follow the run', () => {
    expect([runTime(0), runTime(7.9), runTime(754), runTime(3765)]).toEqual(['0:00', '0:07', '12:34', '1:02:45']);
  });

  it('take the unit that fits', () => {
    expect([duration(0.44), duration(9.97), duration(59.4), duration(185), duration(7440)]).toEqual(['0.4 s', '10 s', '59 s', '3 min 5 s', '2 h 4 min']);
  });

  it('count down in whole seconds and never below zero', () => {
    expect([countdown(20.6), countdown(20.01), countdown(0), countdown(-3), countdown(null)]).toEqual(['21 s', '20 s', '0 s', '0 s', 'cannot be told']);
  });
});
