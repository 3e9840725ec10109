import { el } from '../dom';
import { codeWords } from '../words';

export interface ShownAlarm {
  readonly code: string;
  readonly text: string;
}

/** Alarms that stand, spoken aloud when they change. */
export class AlarmList {
  readonly element = el('div', { class: 'alarms', role: 'alert', 'aria-live': 'assertive' });
  private shown = '';

  set(alarms: readonly ShownAlarm[]): void {
    const key = alarms.map((alarm) => `${alarm.code}\n${alarm.text}`).join('\n\n');
    if (key === this.shown) return;
    this.shown = key;
    this.element.replaceChildren(
      ...alarms.map((alarm) =>
        el(
          'p',
          { class: 'alarm', 'data-testid': 'alarm', 'data-code': alarm.code },
          el('span', { class: 'alarm-sign', 'aria-hidden': 'true' }, '!'),
          el('strong', {}, codeWords(alarm.code)),
          el('span', {}, alarm.text),
        ),
      ),
    );
  }
}

/** Both lists as one, each code once; the first list's words win. */
export function joinAlarms(first: readonly ShownAlarm[], second: readonly ShownAlarm[]): readonly ShownAlarm[] {
  const codes = new Set(first.map((alarm) => alarm.code));
  return [...first, ...second.filter((alarm) => !codes.has(alarm.code))];
}
