import type { MethodDefinition } from '../contract';
import { el } from '../dom';
import { band, plain } from '../format';

/** A method's figures for the person at the bench, and where each comes from. */
export function methodCard(method: MethodDefinition): HTMLElement {
  const { ramp, applications, firePoint, apparatus } = method;
  const unchecked = method.sources.filter((source) => source.fromMemory === true).length;
  return el(
    'div',
    { class: 'method' },
    el(
      'dl',
      { class: 'pairs' },
      ...pair('Cup', apparatus.cup),
      ...pair('Fill', apparatus.fill),
      ...pair('Test flame', apparatus.testFlame),
      ...pair('Start', `at least ${plain(ramp.startAtLeastBelowExpectedCelsius)} °C below the expected flash point`),
      ...pair('Fast heating', `${band(ramp.fastHeatingCelsiusPerMinute)} up to ${plain(ramp.easeBelowExpectedCelsius)} °C below`),
      ...pair('Controlled heating', `${band(ramp.controlledHeatingCelsiusPerMinute)} from ${plain(ramp.controlledFromBelowExpectedCelsius)} °C below`),
      ...pair('Applications', `first ${plain(applications.firstBelowExpectedCelsius)} °C below, then every ${plain(applications.intervalCelsius)} °C, about ${plain(applications.passSeconds)} s each`),
      ...pair('Fire point', firePoint.determined ? `burns for at least ${plain(firePoint.sustainedSeconds)} s` : 'not determined'),
    ),
    el(
      'details',
      {},
      el('summary', {}, unchecked === 0 ? 'Where the figures come from' : `Where the figures come from: ${unchecked} await a licensed copy`),
      el(
        'ul',
        { class: 'sources' },
        ...method.sources.map((source) =>
          el('li', {}, el('code', {}, source.figure), ` ${source.citation}`, source.fromMemory === true ? ' (from memory, not yet compared)' : null),
        ),
      ),
    ),
  );
}

function pair(name: string, value: string): readonly [HTMLElement, HTMLElement] {
  return [el('dt', {}, name), el('dd', {}, value)];
}
