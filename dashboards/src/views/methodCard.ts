import type { ApplicationRules, EquilibriumRules, MethodDefinition, MethodVariant, RampRules } from '../contract';
import { el } from '../dom';
import { band, plain } from '../format';

/** A method's figures for the person at the bench, and where each comes from. */
export function methodCard(method: MethodDefinition): HTMLElement {
  const { firePoint, apparatus, stirring, unknownFlash } = method;
  const unchecked = method.sources.filter((source) => source.fromMemory === true).length;
  return el(
    'div',
    { class: 'method' },
    el(
      'dl',
      { class: 'pairs' },
      ...optional('For', method.use),
      ...pair('Cup', apparatus.cup),
      ...pair('Fill', apparatus.fill),
      ...pair('Test flame', apparatus.testFlame),
      ...optional('Stirring', stirring && `${plain(stirring.revolutionsPerMinute.from)} to ${plain(stirring.revolutionsPerMinute.to)} r/min${stirring.stoppedDuringApplication ? ', stopped for each application' : ''}`),
      ...rampPairs(method.ramp),
      ...applicationPairs(method.applications),
      ...(method.variants ?? []).flatMap(variantPairs),
      ...equilibriumPairs(method.equilibrium),
      ...optional('Unknown flash point', unknownFlash && `a scouting run: first application ${plain(unknownFlash.firstAtLeastAboveStartCelsius)} °C above the start; its result is approximate and is what a fresh test portion is expected to show`),
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

type Pair = readonly [HTMLElement, HTMLElement];

function rampPairs(ramp: RampRules | null | undefined): readonly HTMLElement[] {
  if (ramp === null || ramp === undefined) return [];
  const fast = ramp.fastHeatingCelsiusPerMinute;
  return [
    ...pair('Start', `at least ${plain(ramp.startAtLeastBelowExpectedCelsius)} °C below the expected flash point`),
    ...optional('Fast heating', fast && `${band(fast)} up to ${plain(ramp.easeBelowExpectedCelsius ?? 0)} °C below`),
    ...pair(fast ? 'Controlled heating' : 'Heating', `${band(ramp.controlledHeatingCelsiusPerMinute)} ${fast ? `from ${plain(ramp.controlledFromBelowExpectedCelsius ?? 0)} °C below` : 'from start to end'}`),
  ];
}

function applicationPairs(rules: ApplicationRules | null | undefined): readonly HTMLElement[] {
  if (rules === null || rules === undefined) return [];
  const window = rules.flashWindowAboveFirstCelsius;
  return [
    ...pair('Applications', `first ${plain(rules.firstBelowExpectedCelsius)} °C below, then every ${plain(rules.intervalCelsius)} °C, about ${plain(rules.passSeconds)} s each`),
    ...optional('Valid flash', window && `${plain(window.from)} to ${plain(window.to)} °C above the first application, else approximate`),
  ];
}

function variantPairs(variant: MethodVariant): readonly HTMLElement[] {
  const { expectedFromCelsius: from, expectedAboveCelsius: above, expectedUpToCelsius: upTo, expectedBelowCelsius: below } = variant;
  const ends = [
    typeof from === 'number' ? `${plain(from)} °C or above` : typeof above === 'number' ? `above ${plain(above)} °C` : '',
    typeof upTo === 'number' ? `up to ${plain(upTo)} °C` : typeof below === 'number' ? `below ${plain(below)} °C` : '',
  ];
  return [...pair('Where expected', ends.filter((end) => end !== '').join(', ')), ...rampPairs(variant.ramp), ...applicationPairs(variant.applications)];
}

function equilibriumPairs(rules: EquilibriumRules | null | undefined): readonly HTMLElement[] {
  if (rules === null || rules === undefined) return [];
  const charges = rules.charges.map((charge) => `${plain(charge.millilitres)} mL for ${plain(charge.waitSeconds)} s (${charge.material ?? (typeof charge.upToCelsius === 'number' ? `up to ${plain(charge.upToCelsius)} °C` : 'else')})`);
  return [...pair('Charge and wait', charges.join('; ')), ...pair('Shutter', `opened and closed within ${plain(rules.shutterSeconds)} s`)];
}

function optional(name: string, value: string | null | undefined): readonly HTMLElement[] {
  return value === null || value === undefined ? [] : pair(name, value);
}

function pair(name: string, value: string): Pair {
  return [el('dt', {}, name), el('dd', {}, value)];
}
