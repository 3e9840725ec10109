import type { Backend } from '../backend';
import type { InfluxOverview, InfluxStatus } from '../contract';
import { el, setShown } from '../dom';

const lookMilliseconds = 5000;

/** What a person should know of handing on to InfluxDB, a sentence each; empty where nothing is handed on. */
export function influxWords(status: InfluxStatus): readonly string[] {
  const { endpoint } = status;
  if (endpoint === null) return [];
  return [...endpoint.alarms.map((alarm) => alarm.text), ...endpoint.warnings, standing(endpoint)];
}

function standing(endpoint: InfluxOverview): string {
  switch (endpoint.state) {
    case 'current':
      return `InfluxDB at ${endpoint.target} has everything${endpoint.setAside > 0 ? ' but what is set aside' : ''}.`;
    default: {
      const left = untold(endpoint);
      return left.length > 0 ? `InfluxDB at ${endpoint.target}: ${left.join('; ')}.` : `This InfluxDB is at ${endpoint.target}.`;
    }
  }
}

/** What waits and what stands in the way, but what an alarm beside it says already. */
function untold({ alarms, lagRows, lagSeconds, text }: InfluxOverview): readonly string[] {
  const left: string[] = [];
  if (!alarms.some((alarm) => alarm.code === 'influx-behind')) left.push(`${lagRows} readings wait, ${Math.round(lagSeconds)} s behind`);
  if (text !== null && !alarms.some((alarm) => alarm.text.includes(text))) left.push(text);
  return left;
}

/** Says how handing on to InfluxDB goes; nothing at all where nothing is handed on. */
export class InfluxNote {
  readonly element = el('ul', { class: 'panel influx-note', role: 'status', 'data-testid': 'influx', hidden: true });
  private shown = '';
  private disposed = false;

  constructor(private readonly backend: Backend) {
    void this.look();
  }

  dispose(): void {
    this.disposed = true;
  }

  private async look(): Promise<void> {
    try {
      this.set(await this.backend.influx());
    } catch {
      // The banner says that the service does not answer; what was shown last still holds.
    }
    if (!this.disposed) setTimeout(() => void this.look(), lookMilliseconds);
  }

  private set(status: InfluxStatus): void {
    const words = influxWords(status);
    const text = words.join('\n');
    if (text === this.shown) return;
    this.shown = text;
    this.element.classList.toggle('alarmed', status.endpoint !== null && status.endpoint.alarms.length > 0);
    this.element.replaceChildren(...words.map((sentence) => el('li', {}, sentence)));
    setShown(this.element, words.length > 0);
  }
}
