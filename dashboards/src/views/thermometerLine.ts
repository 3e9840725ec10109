import { el, setAttribute, setText } from '../dom';
import { splitDays, type Standing } from './thermometerWords';

/** The sensor and how its calibration stands: one small line. */
export class ThermometerLine {
  private readonly sensor = el('span');
  private readonly standing = el('span', { 'data-testid': 'calibration' });
  readonly element = el('p', { class: 'thermometer-line', 'data-testid': 'thermometer' }, this.sensor, ' ', this.standing);

  set(sensor: string, standing: Standing): void {
    const plain = standing.tone === 'plain';
    setText(this.sensor, plain ? `${sensor},` : sensor);
    if (this.standing.textContent !== standing.text) this.standing.replaceChildren(...wholeDays(standing.text));
    setAttribute(this.standing, 'class', plain ? null : 'badge');
    setAttribute(this.standing, 'data-tone', plain ? null : standing.tone);
  }
}

/** Text whose days stay on one line. */
export function wholeDays(text: string): readonly (Node | string)[] {
  return splitDays(text).map((piece) => (piece.isDay ? el('span', { class: 'day' }, piece.text) : piece.text));
}
