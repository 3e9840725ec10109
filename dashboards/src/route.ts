export type Route =
  | { readonly kind: 'testers' }
  | { readonly kind: 'tester'; readonly id: string }
  | { readonly kind: 'run'; readonly id: string };

/** The route behind a hash; anything unknown leads to the testers. */
export function readRoute(hash: string): Route {
  const [, kind, id] = /^#\/(tester|run)\/([^/]+)$/.exec(hash) ?? [];
  if (id === undefined || (kind !== 'tester' && kind !== 'run')) return { kind: 'testers' };
  try {
    return { kind, id: decodeURIComponent(id) };
  } catch {
    return { kind: 'testers' };
  }
}
