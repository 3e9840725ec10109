import type { Finding } from '../contract';
import { el } from '../dom';
import { celsius, fixed, plain, runTime } from '../format';
import type { ApplicationMark } from '../state/runFacts';
import { codeWords, evidenceWords } from '../words';
import { cell, table } from './table';

/** Every pass of the test flame. */
export function applicationsTable(marks: readonly ApplicationMark[]): HTMLElement {
  if (marks.length === 0) return el('p', { class: 'quiet' }, 'No application yet.');
  const rows = marks.map((mark) =>
    el(
      'tr',
      mark.judged?.flash === true ? { class: 'flash-row' } : {},
      cell(String(mark.number)),
      cell(runTime(mark.timeSeconds)),
      cell(celsius(mark.temperatureCelsius)),
      cell(mark.judged?.durationSeconds == null ? '–' : `${fixed(mark.judged.durationSeconds, 1)} s`),
      el('td', { class: 'effect' }, mark.judged === null ? 'being judged' : mark.judged.flash ? '✷ flash' : 'no flash'),
      cell(mark.judged === null || mark.evidence === 'person' ? '–' : `${fixed(mark.judged.significance, 1)} σ`),
      el('td', { class: 'effect' }, evidenceWords[mark.evidence]),
    ),
  );
  return table(['No.', 'Time', 'Temperature', 'Pass', 'Effect', 'Strength', 'Known by'], ['number', 'number', 'number', 'number', '', 'number', ''], rows, 'Applications');
}

/** Every finding, with the limit it broke. */
export function findingsTable(findings: readonly Finding[]): HTMLElement {
  if (findings.length === 0) return el('p', { class: 'quiet' }, 'No finding.');
  const rows = findings.map((finding) =>
    el(
      'tr',
      { 'data-weight': finding.weight },
      cell(runTime(finding.timeSeconds)),
      el('td', { class: 'weight' }, finding.weight),
      el('td', { class: 'finding' }, el('strong', {}, codeWords(finding.code)), el('br'), finding.text),
      cell(finding.value === null ? '–' : plain(finding.value), 'value'),
      cell(finding.limit === null ? '–' : plain(finding.limit), 'limit'),
      cell(finding.temperatureCelsius === null ? '–' : celsius(finding.temperatureCelsius), 'at'),
    ),
  );
  return table(['Time', 'Weight', 'Finding', 'Value', 'Limit', 'At'], ['number', '', '', 'number', 'number', 'number'], rows, 'Findings');
}
