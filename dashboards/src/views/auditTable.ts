import type { RunAudit } from '../contract';
import { el } from '../dom';
import { localTime } from '../format';
import { table } from './table';

/** One thing that was added to a run after it had ended. */
export interface AuditLine {
  readonly at: string;
  readonly person: string;
  readonly what: string;
  readonly why: string;
}

const fieldWords = { specimen: 'Specimen', 'expected-flash': 'Expected flash point', 'station-pressure': 'Pressure', remark: 'Remark' } as const;
const units = { specimen: '', 'expected-flash': ' °C', 'station-pressure': ' kPa', remark: '' } as const;

/** Everything that was added, oldest first; of the same moment, what follows from another stands behind it. */
export function auditLines(audit: RunAudit): readonly AuditLine[] {
  const lines: AuditLine[] = [
    ...audit.corrections.map(({ at, person, field, oldValue, newValue, reason }) => ({
      at,
      person,
      what: `${fieldWords[field]}: ${oldValue === null ? 'nothing' : `${oldValue}${units[field]}`} → ${newValue}${units[field]}`,
      why: reason,
    })),
    ...audit.results.map(({ at, softwareVersion, correction, repeats, result }) => ({
      at,
      person: `version ${softwareVersion}`,
      what: `Judged anew after correction ${correction}: ${result.verdict}`,
      why: repeats ? '' : 'This version judges otherwise than the one before even without the correction: compare both results.',
    })),
    ...audit.approvals.map(({ at, person, corrections }) => ({ at, person, what: corrections === 0 ? 'Approved' : `Approved as corrected (${corrections})`, why: '' })),
    ...audit.imports.map(({ at, person, originArchive, repeats, reason }) => ({
      at,
      person,
      what: `Imported from archive ${originArchive}`,
      why: repeats === false ? `${reason} The program that imported it judges otherwise: compare.` : reason,
    })),
    ...audit.holds.map(({ at, person, held, reason }) => ({ at, person, what: held ? 'On hold: not to be pruned' : 'Released from hold', why: reason })),
  ];
  return lines.sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
}

/** How the run stands, in one line; empty where nothing was added. */
export function auditStanding(audit: RunAudit): string {
  const approval = audit.approvals.at(-1);
  const words = [
    audit.approved && approval !== undefined ? `Approved by ${approval.person}.` : approval !== undefined ? 'Corrected since it was approved: it is not approved any longer.' : '',
    audit.onHold ? 'On hold.' : '',
  ];
  return words.filter((text) => text !== '').join(' ');
}

/** What was added to a run after it had ended; nothing where nothing was. */
export function auditPanel(audit: RunAudit): HTMLElement | null {
  const lines = auditLines(audit);
  if (lines.length === 0) return null;
  const rows = lines.map((line) => el('tr', {}, el('td', { class: 'effect' }, el('time', { datetime: line.at }, localTime(line.at))), el('td', {}, line.person), el('td', { class: 'free' }, line.what), el('td', { class: 'free' }, line.why)));
  return el('section', { class: 'panel', 'data-testid': 'audit' }, el('h3', {}, 'After the end'), el('p', { class: 'quiet' }, auditStanding(audit)), table(['When', 'Who', 'What', 'Why'], ['', '', '', ''], rows, 'After the end'));
}
