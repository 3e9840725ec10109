import type { Finding, ReadingMark, RunOutput, RunStatus } from '../src/contract';
import { round } from './bench';
import type { MockThermometer } from './thermometers';

const code = 'thermometer-open-circuit';
const sentence = "The thermometer's circuit is open: check its plug, its cable and the sensor for a break. The oil may be hotter than any figure says, and may burn: turn off the heat and the test flame and let the cup cool before you touch the thermometer or its wires.";
const quietSeconds = 3;

/** What an open circuit reads where the converter pulls it up, in µV. */
const openMicrovolts = 78_200;

/** An invented thermometer on an invented run: when its circuit opens, and what the service says of it then. */
export class ThermometerWatch {
  private soundCelsius: number | null = null;
  private firstOpen: number | null = null;
  private lastOpen: number | null = null;
  private alarmed = false;
  private bad = 0;

  constructor(private readonly thermometer: MockThermometer) {}

  isOpen(seconds: number): boolean {
    return this.thermometer.opens && seconds > 500 && seconds % 60 >= 40 && seconds % 60 < 52;
  }

  /** Takes the next reading; what is to be stated of it. */
  take(seconds: number, celsius: number): readonly RunOutput[] {
    if (this.isOpen(seconds)) return this.open(seconds);
    this.soundCelsius = round(celsius, 2);
    if (!this.alarmed || this.lastOpen === null || seconds - this.lastOpen <= quietSeconds) return [];
    this.alarmed = false;
    return [{ kind: 'alarm-cleared', atSeconds: seconds, code }];
  }

  status(seconds: number, celsius: number, rate: number | null): Pick<RunStatus, 'temperatureCelsius' | 'lagCelsius' | 'thermometerSignal' | 'junctionCelsius' | 'thermometerMarks'> {
    const { signal, junctionCelsius, chain } = this.thermometer;
    const open = this.isOpen(seconds);
    return {
      temperatureCelsius: this.soundCelsius,
      lagCelsius: rate === null || chain.lag === null ? null : (chain.lag.timeConstantSeconds * rate) / 60,
      thermometerSignal: signal === null ? null : open ? openMicrovolts : signal(celsius),
      junctionCelsius,
      thermometerMarks: open ? ['open-circuit'] : this.marks(celsius),
    };
  }

  /** What is found at the end of the run. */
  findings(atSeconds: number): readonly Finding[] {
    const { overview, chain } = this.thermometer;
    const due = overview.calibrationDueOn;
    const found = (name: string, weight: Finding['weight'], text: string, value: number | null = null): Finding =>
      ({ code: name, weight, timeSeconds: atSeconds, temperatureCelsius: null, value, limit: null, text });
    return [
      ...(this.firstOpen === null || this.lastOpen === null ? [] : [found(code, 'doubtful', `${sentence} Marked bad and not used: ${this.bad} readings between ${this.firstOpen} s and ${this.lastOpen} s.`, this.bad)]),
      ...(overview.calibration === 'overdue' ? [found('calibration-overdue', 'doubtful', `The thermometer's calibration (certificate C-114) was due on ${due}, before this run. Have it calibrated; the analyst decides whether the run may stand.`)] : []),
      ...(overview.calibration === 'not-yet-valid' ? [found('calibration-not-yet-valid', 'doubtful', `The certificate C-114 is dated ${chain.calibration?.calibratedOn}, after this run. Check the date of the certificate and the clock of this computer.`)] : []),
      ...(overview.calibration === 'due-soon' ? [found('calibration-due', 'note', `The thermometer's calibration (certificate C-114) is due on ${due}.`)] : []),
      ...(chain.lag?.correct === true ? [found('lag-corrected', 'note', `Temperatures are corrected for a thermometer lag of ${chain.lag.timeConstantSeconds} s. The method's precision was found with its own thermometer, lag included: it does not hold for these figures.`, chain.lag.timeConstantSeconds)] : []),
    ];
  }

  private marks(celsius: number): readonly ReadingMark[] {
    const points = this.thermometer.chain.calibration?.points ?? [];
    const [lowest, highest] = [points[0]?.readingCelsius, points.at(-1)?.readingCelsius];
    return lowest !== undefined && highest !== undefined && (celsius < lowest || celsius > highest) ? ['outside-calibration'] : [];
  }

  private open(seconds: number): readonly RunOutput[] {
    this.firstOpen ??= seconds;
    this.lastOpen = seconds;
    this.bad += 1;
    if (this.alarmed) return [];
    this.alarmed = true;
    return [{ kind: 'alarm-raised', atSeconds: seconds, code, text: sentence }];
  }
}
