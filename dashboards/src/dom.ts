// Elements are built here and nowhere else. Text always goes in as text: names, notes and messages come from outside.

export type Child = Node | string | null;

type Settings = Readonly<Record<string, string | boolean | null | undefined | ((event: Event) => void)>>;

/** An element; attributes by name, listeners by `on…`, `class` as it is, false and null leave an attribute out. */
export function el<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  settings: Settings = {},
  ...children: readonly Child[]
): HTMLElementTagNameMap[K] {
  const element = document.createElement(tag);
  apply(element, settings);
  append(element, children);
  return element;
}

const svgSpace = 'http://www.w3.org/2000/svg';

export function svg(tag: string, settings: Settings = {}, ...children: readonly Child[]): SVGElement {
  const element = document.createElementNS(svgSpace, tag);
  apply(element, settings);
  append(element, children);
  return element;
}

/** Sets text only when it differs, so that a screen reader and a selection are left in peace. */
export function setText(node: Node, text: string): void {
  if (node.textContent !== text) node.textContent = text;
}

export function setAttribute(element: Element, name: string, value: string | null): void {
  if (value === null) element.removeAttribute(name);
  else if (element.getAttribute(name) !== value) element.setAttribute(name, value);
}

export function setShown(element: HTMLElement | SVGElement, shown: boolean): void {
  if (shown) element.removeAttribute('hidden');
  else element.setAttribute('hidden', '');
}

function apply(element: Element, settings: Settings): void {
  for (const [name, value] of Object.entries(settings)) {
    if (typeof value === 'function') element.addEventListener(name.slice(2), value);
    else if (value === true) element.setAttribute(name, '');
    else if (typeof value === 'string') element.setAttribute(name, value);
  }
}

function append(element: Element, children: readonly Child[]): void {
  for (const child of children) if (child !== null) element.append(child);
}
