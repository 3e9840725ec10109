import { el, setAttribute, setText } from '../dom';
import { sensorWords, type Standing } from './thermometerWords';

/** The sensor and how its calibration stands: one small line. */
export class ThermometerLine {
  private readonly sensor = el('span');
  private readonly standing = el('span', { 'data-testid': 'calibration' });
  readonly element = el('p', { class: 'thermometer-line', 'data-testid': 'thermometer' }, this.sensor, ' ', this.standing);

  constructor(private readonly label: string) {}

  set(steps: readonly string[], standing: Standing): void {
    const plain = standing.tone === 'plain';
    const sensor = sensorWords(steps);
    const words = this.label === '' ? sensor.charAt(0).toUpperCase() + sensor.slice(1) : `${this.label}: ${sensor}`;
    setText(this.sensor, plain ? `${words},` : words);
    setText(this.standing, standing.text);
    setAttribute(this.standing, 'class', plain ? null : 'badge');
    setAttribute(this.standing, 'data-tone', plain ? null : standing.tone);
  }
}
