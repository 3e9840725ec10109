import { el, setShown, setText } from '../dom';
import { duration } from '../format';
import { silentSeconds } from '../state/testersView';
import type { Scene } from './pageView';

/** Says that what is shown is old, and how old, for as long as no news come from the service. */
export class LinkBanner {
  private readonly text = el('span');
  /** Spoken once; the seconds that run on the screen are not read out. */
  private readonly heard = el('span', { class: 'only-heard', role: 'alert' });
  readonly element = el(
    'div',
    { class: 'banner', 'data-testid': 'connection-banner', hidden: true },
    el('span', { class: 'banner-sign', 'aria-hidden': 'true' }, '⇎'),
    this.text,
    this.heard,
  );

  /** Returns whether the banner stands. */
  render(scene: Scene): boolean {
    const { link, receivedAt } = scene.testers;
    const silent = silentSeconds(scene.testers, scene.now);
    const never = receivedAt === null && link === 'lost';
    const stands = silent !== null || never;
    setShown(this.element, stands);
    setText(this.heard, stands ? 'Connection to the service lost. What is shown is old.' : '');
    if (never) setText(this.text, 'The service cannot be reached. This page keeps trying.');
    else if (silent !== null) {
      const what = link === 'lost' ? 'Connection lost' : 'No news from the service';
      const ago = duration(Math.floor(silent), 0);
      setText(this.text, `${what}, last update ${ago} ago. What is shown is old; whether recording goes on cannot be told from here.`);
    }
    return stands;
  }
}
