/** What was, what is, and what was undone. */
export interface History<T> {
  readonly past: readonly T[];
  readonly now: T;
  readonly future: readonly T[];
  /** What the last change was to, and when: a drag or a word being typed is one step. */
  readonly last: { readonly tag: string; readonly at: number } | null;
}

/** Changes to the same thing within this time are one step, ms. */
const ONE_STEP = 1200;
/** Steps kept. */
const KEPT = 200;

export function begun<T>(now: T): History<T> {
  return { past: [], now, future: [], last: null };
}

/** A change to the thing named by `tag`, at time `at` (ms). A change that changes nothing is no step. */
export function changed<T>(history: History<T>, now: T, tag: string, at: number): History<T> {
  if (now === history.now) return history;
  const goesOn = history.last !== null && history.last.tag === tag && at - history.last.at < ONE_STEP;
  const past = goesOn ? history.past : [...history.past, history.now].slice(-KEPT);
  return { past, now, future: [], last: { tag, at } };
}

export function undone<T>({ past, now, future }: History<T>): History<T> {
  if (past.length === 0) return { past, now, future, last: null };
  return { past: past.slice(0, -1), now: past[past.length - 1], future: [now, ...future], last: null };
}

export function redone<T>({ past, now, future }: History<T>): History<T> {
  if (future.length === 0) return { past, now, future, last: null };
  return { past: [...past, now], now: future[0], future: future.slice(1), last: null };
}
