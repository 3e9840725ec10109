import { el, setAttribute, setText } from '../dom';
import { soundWords, type SoundState } from './soundWords';

const hertz = 880;
const seconds = 0.25;

/** A beep with each prompt. A browser lets a page sound only after a press: until then, and when it falls silent by itself, the button says so. */
export class PromptSound {
  private context: AudioContext | null = null;
  private readonly glyph = el('span', { 'aria-hidden': 'true', class: 'sound-glyph' });
  private readonly word = el('span');
  readonly element = el('button', { type: 'button', class: 'guide-sound', 'data-testid': 'prompt-sound', onclick: () => void this.toggle() }, this.glyph, this.word);

  constructor() {
    this.show();
  }

  get state(): SoundState {
    if (this.context === null) return 'off';
    return this.context.state === 'running' ? 'on' : 'held';
  }

  /** Sounds once, where it is switched on and the browser lets it. */
  beep(): void {
    if (this.context === null || this.state !== 'on') return;
    const { context } = this;
    const tone = new OscillatorNode(context, { frequency: hertz });
    const loudness = new GainNode(context, { gain: 0.25 });
    tone.connect(loudness).connect(context.destination);
    tone.start();
    tone.stop(context.currentTime + seconds);
  }

  dispose(): void {
    void this.context?.close();
    this.context = null;
  }

  private async toggle(): Promise<void> {
    if (this.state === 'on') this.dispose();
    else {
      this.context ??= this.opened();
      // A browser that holds the sound back may leave this waiting for ever: what it shows comes from the state alone.
      if (this.context.state !== 'running') void this.context.resume().then(() => this.beep(), () => undefined);
      else this.beep();
    }
    this.show();
  }

  private opened(): AudioContext {
    const context = new AudioContext();
    context.onstatechange = () => this.show();
    return context;
  }

  private show(): void {
    const { glyph, word } = soundWords[this.state];
    setAttribute(this.element, 'data-sound', this.state);
    setAttribute(this.element, 'aria-pressed', String(this.state === 'on'));
    setText(this.glyph, glyph);
    setText(this.word, word);
  }
}
