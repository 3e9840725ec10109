import { el, setAttribute, setText } from '../dom';

const hertz = 880;
const seconds = 0.25;

/** A beep with each prompt: off until the person switches it on, which a browser asks for before it lets a page sound. */
export class PromptSound {
  private context: AudioContext | null = null;
  readonly element = el('button', { type: 'button', class: 'guide-sound', 'aria-pressed': 'false', onclick: () => this.toggle() }, 'Sound on prompt: off');

  /** Sounds once, where it is switched on. */
  beep(): void {
    if (this.context === null) return;
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

  private toggle(): void {
    if (this.context === null) {
      this.context = new AudioContext();
      this.beep();
    } else this.dispose();
    const on = this.context !== null;
    setAttribute(this.element, 'aria-pressed', String(on));
    setText(this.element, `Sound on prompt: ${on ? 'on' : 'off'}`);
  }
}
