import type { UncertaintyTable } from '../contract';
import { el, type Child } from '../dom';
import { budgetCells, budgetSums, valueNote } from './statementWords';
import { cell, table } from './table';

const names = ['Contribution', 'Value', 'Distribution', 'Standard uncertainty, °C', 'Share, %'];
const kinds = ['', 'number', '', 'number', 'number'];

/** The uncertainty budget of a point, folded: its lines, what they amount to, and what is not in it. */
export function uncertaintyBudget(of: UncertaintyTable, point: string): HTMLElement {
  const rows = of.rows.map((row) => {
    const [name, value, distribution, standard, share] = budgetCells(row);
    return el('tr', {}, el('th', { scope: 'row' }, name), cell(value), el('td', {}, distribution), cell(standard), cell(share));
  });
  const note = valueNote(of.rows);
  return el(
    'details',
    { class: 'budget', 'data-testid': 'uncertainty-budget' },
    el('summary', {}, 'Uncertainty budget'),
    table(names, kinds, rows, `Uncertainty budget of the ${point}`),
    note === '' ? null : el('p', { class: 'budget-note' }, note),
    el('dl', { class: 'budget-sums' }, ...budgetSums(of).map(([name, value]) => el('div', {}, el('dt', {}, name), el('dd', {}, value)))),
    ...sentences('Left out', of.leftOut),
    ...sentences('Remarks', of.remarks),
    el('h4', {}, 'Where the figures come from'),
    el('ul', {}, ...of.rows.map((row) => el('li', {}, el('strong', {}, `${row.name}:`), ` ${row.source}`))),
  );
}

function sentences(name: string, texts: readonly string[]): readonly Child[] {
  return texts.length === 0 ? [] : [el('h4', {}, name), el('ul', {}, ...texts.map((text) => el('li', {}, text)))];
}
