import type { Backend } from '../backend';
import { el, setText } from '../dom';

const byHand = 'This does not turn off the heater or the test flame. See to both yourself.';
const driven = 'The service tells the tester to turn off the heater and to take the test flame away. See for yourself that both are off.';

/** Ends a run, after a question: a record cannot be opened again. */
export function stopButton(backend: Backend, runId: string, isDriven: () => boolean): HTMLElement {
  const caution = el('p', { class: 'ask-caution' });
  const note = el('p', { class: 'form-note', role: 'status' });
  const yes = el('button', { type: 'button', class: 'danger', 'data-testid': 'stop-confirm' }, 'Close the record');
  const no = el('button', { type: 'button', autofocus: true }, 'Keep running');
  const dialog = el(
    'dialog',
    { class: 'ask', 'aria-labelledby': 'ask-title' },
    el('h2', { id: 'ask-title' }, 'Close this record now?'),
    el('p', {}, 'The run is judged on what has been read so far and cannot be continued.'),
    caution,
    note,
    el('div', { class: 'ask-buttons' }, no, yes),
  );
  no.addEventListener('click', () => dialog.close());
  yes.addEventListener('click', () => {
    yes.disabled = true;
    backend
      .stop(runId)
      .then(
        (outcome) => (outcome.kind === 'stopped' ? dialog.close() : setText(note, outcome.text)),
        (reason: unknown) => setText(note, reason instanceof Error ? reason.message : String(reason)),
      )
      .finally(() => {
        yes.disabled = false;
      });
  });
  const open = el('button', { type: 'button', class: 'danger quiet-danger', 'data-testid': 'stop-run', onclick: () => { setText(note, ''); setText(caution, isDriven() ? driven : byHand); dialog.showModal(); } }, 'Stop run');
  return el('span', {}, open, dialog);
}
