interface Press {
  readonly repeat: boolean;
  readonly ctrlKey: boolean;
  readonly altKey: boolean;
  readonly metaKey: boolean;
}

/** Whether a key is pressed by itself and once: held down or with others it belongs to something else. */
export function alone({ repeat, ctrlKey, altKey, metaKey }: Press): boolean {
  return !repeat && !ctrlKey && !altKey && !metaKey;
}

/** Whether the press goes into a field: then it is text and no command. */
export function isTyping(event: KeyboardEvent): boolean {
  return event.target instanceof HTMLElement && event.target.closest('input, select, textarea') !== null;
}
