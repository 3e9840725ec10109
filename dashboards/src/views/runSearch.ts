import type { RunQuery, Verdict } from '../contract';
import { el } from '../dom';
import { verdictWords } from '../words';

/** What a person looks for among past runs. */
export type Search = Pick<RunQuery, 'specimen' | 'verdict' | 'from' | 'to'>;

export const anything: Search = { specimen: null, verdict: null, from: null, to: null };

/** A day of the date field as the moments between which it lies, here. The second is the midnight after it. */
export function dayBounds(day: string): { readonly from: string; readonly to: string } | null {
  const parts = /^(\d{4})-(\d{2})-(\d{2})$/.exec(day);
  if (parts === null) return null;
  const [year, month, date] = parts.slice(1).map(Number) as [number, number, number];
  const next = new Date(year, month - 1, date + 1);
  const start = new Date(year, month - 1, date);
  return Number.isNaN(start.getTime()) ? null : { from: start.toISOString(), to: next.toISOString() };
}

/** The fields by which runs are found. */
export class RunSearch {
  private readonly specimen = el('input', { type: 'search', id: 'find-specimen', maxlength: '200', autocomplete: 'off' });
  private readonly verdict = el('select', { id: 'find-verdict' }, el('option', { value: '' }, 'any'), ...(Object.keys(verdictWords) as Verdict[]).map((word) => el('option', { value: word }, verdictWords[word].word)));
  private readonly from = el('input', { type: 'date', id: 'find-from' });
  private readonly to = el('input', { type: 'date', id: 'find-to' });
  readonly element: HTMLElement;

  constructor(find: (search: Search) => void) {
    this.element = el(
      'form',
      {
        class: 'find',
        role: 'search',
        onsubmit: (event) => {
          event.preventDefault();
          find(this.read());
        },
        onreset: () => find(anything),
      },
      labelled('Specimen contains', this.specimen),
      labelled('Verdict', this.verdict),
      labelled('From', this.from),
      labelled('Up to', this.to),
      el('div', { class: 'find-keys' }, el('button', { type: 'submit' }, 'Find'), el('button', { type: 'reset' }, 'All')),
    );
  }

  private read(): Search {
    const specimen = this.specimen.value.trim();
    return {
      specimen: specimen === '' ? null : specimen,
      verdict: this.verdict.value === '' ? null : (this.verdict.value as Verdict),
      from: dayBounds(this.from.value)?.from ?? null,
      to: dayBounds(this.to.value)?.to ?? null,
    };
  }
}

function labelled(name: string, input: HTMLInputElement | HTMLSelectElement): HTMLElement {
  return el('div', { class: 'field' }, el('label', { for: input.id }, name), input);
}
