import { el, setShown, setText } from '../dom';
import { duration } from '../format';
import { silentSeconds } from '../state/testersView';
import type { Scene } from './pageView';

/** Says that what is shown is old, and how old, for as long as no news come from the service. */
export class LinkBanner {
  private readonly text = el('span');
  readonly element = el(
    'div',
    { class: 'banner', role: 'alert', 'data-testid': 'connection-banner', hidden: true },
    el('span', { class: 'banner-sign', 'aria-hidden': 'true' }, '⇎'),
    this.text,
  );

  render(scene: Scene): boolean {
    const { link, receivedAt } = scene.testers;
    const silent = silentSeconds(scene.testers, scene.now);
    const never = receivedAt === null && link === 'lost';
    setShown(this.element, silent !== null || never);
    if (never) setText(this.text, 'The service cannot be reached. Trying again without end.');
    else if (silent !== null) {
      const what = link === 'lost' ? 'Connection lost' : 'No news from the service';
      setText(this.text, `${what}, last update ${duration(Math.floor(silent))} ago. What is shown below is old; the service goes on recording if it runs.`);
    }
    return silent !== null || never;
  }
}
