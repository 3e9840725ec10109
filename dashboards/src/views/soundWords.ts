/** Whether a prompt is heard: `held` is switched on, but the browser holds the sound back. */
export type SoundState = 'off' | 'on' | 'held';

export const soundWords: Record<SoundState, { readonly glyph: string; readonly word: string }> = {
  off: { glyph: '✕', word: 'Prompts are silent: turn the sound on' },
  on: { glyph: '♪', word: 'Prompts sound: turn the sound off' },
  held: { glyph: '✕', word: 'The browser holds the sound back: press again' },
};
