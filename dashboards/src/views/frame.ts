import { el, setAttribute, setText } from '../dom';
import { LinkBanner } from './linkBanner';
import type { Scene } from './pageView';

/** What stands around every view: the head with the state of the line, and the banner when the line is lost. */
export class Frame {
  readonly main = el('main', { id: 'main', tabindex: '-1' });
  private readonly banner = new LinkBanner();
  private readonly word = el('span');
  private readonly link = el('span', { class: 'link', 'data-link': 'opening' }, el('span', { class: 'link-dot', 'aria-hidden': 'true' }), this.word);
  readonly elements: readonly HTMLElement[];

  constructor() {
    const skip = (event: Event): void => {
      // The hash belongs to the routes.
      event.preventDefault();
      this.main.focus();
    };
    const mark = el('a', { class: 'mark', href: '#/', 'aria-label': 'Acquire, all testers' }, el('span', { class: 'mark-sign', 'aria-hidden': 'true' }), 'Acquire');
    this.elements = [
      el('a', { class: 'skip', href: '#main', onclick: skip }, 'Skip to the content'),
      el('header', { class: 'top' }, mark, this.link),
      this.banner.element,
      this.main,
    ];
  }

  render(scene: Scene): void {
    const old = this.banner.render(scene);
    document.documentElement.classList.toggle('old-news', old);
    setAttribute(this.link, 'data-link', old ? 'lost' : scene.testers.link);
    setText(this.word, old ? 'no connection' : scene.testers.link === 'up' ? 'connected' : 'connecting');
  }
}
