/** Reads a value strictly: the type says what it must be, the error where it is not. */
export type Check<T> = (value: unknown, path: string) => T;

function refuse(path: string, value: unknown, expected: string): never {
  throw new Error(`${path}: ${JSON.stringify(value)} is not ${expected}`);
}

export const text: Check<string> = (value, path) => (typeof value === 'string' ? value : refuse(path, value, 'a text'));
export const number: Check<number> = (value, path) => (typeof value === 'number' ? value : refuse(path, value, 'a number'));
export const flag: Check<boolean> = (value, path) => (typeof value === 'boolean' ? value : refuse(path, value, 'true or false'));

/** A moment in UTC, as the page reads it. */
export const moment: Check<string> = (value, path) => {
  const read = text(value, path);
  return Number.isNaN(Date.parse(read)) || !/(Z|\+00:00)$/.test(read) ? refuse(path, value, 'a moment in UTC') : read;
};

/** A day as 2026-12-02. */
export const day: Check<string> = (value, path) => {
  const read = text(value, path);
  return /^\d{4}-\d{2}-\d{2}$/.test(read) && !Number.isNaN(Date.parse(read)) ? read : refuse(path, value, 'a day');
};

export function orNull<T>(check: Check<T>): Check<T | null> {
  return (value, path) => (value === null ? null : check(value, path));
}

export function list<T>(check: Check<T>): Check<readonly T[]> {
  return (value, path) => (Array.isArray(value) ? value.map((item, i) => check(item, `${path}[${i}]`)) : refuse(path, value, 'a list'));
}

/** One of the words of a type; the compiler asks for all of them. */
export function word<T extends string>(words: Record<T, true>): Check<T> {
  return (value, path) => (typeof value === 'string' && Object.hasOwn(words, value) ? (value as T) : refuse(path, value, Object.keys(words).join(' or ')));
}

/** An object with exactly the properties of a type: none missing, none that the type does not know. The compiler asks for all of them. */
export function shape<T extends object>(checks: { readonly [K in keyof T]-?: Check<Exclude<T[K], undefined>> }): Check<T> {
  return (value, path) => {
    if (typeof value !== 'object' || value === null || Array.isArray(value)) return refuse(path, value, 'an object');
    const unknown = Object.keys(value).filter((key) => !Object.hasOwn(checks, key));
    if (unknown.length > 0) throw new Error(`${path}: the contract knows no ${unknown.join(', ')}`);
    for (const key of Object.keys(checks) as (keyof T & string)[]) {
      if (!Object.hasOwn(value, key)) throw new Error(`${path}.${key}: is missing`);
      checks[key]((value as T)[key], `${path}.${key}`);
    }
    return value as T;
  };
}
