/** What was, what is, and what was undone. */
export interface History<T> {
  readonly past: readonly T[];
  readonly now: T;
  readonly future: readonly T[];
  /** What is being changed in the step that goes on: something dragged, held or typed in; null between steps. */
  readonly open: string | null;
}

/** Steps kept. */
const KEPT = 200;

/** A history that begins now. */
export function begun<T>(now: T): History<T> {
  return { past: [], now, future: [], open: null };
}

/**
 * A change to the thing named by `tag`; further ones to the same thing belong to the same step until it is let go (`settled`), however long that
 * takes. Without a tag it is a step by itself. A change that changes nothing is no step.
 */
export function changed<T>(history: History<T>, now: T, tag: string | null): History<T> {
  if (now === history.now) return history;
  const goesOn = tag !== null && history.open === tag;
  const past = goesOn ? history.past : [...history.past, history.now].slice(-KEPT);
  return { past, now, future: [], open: tag };
}

/** What was dragged, held or typed in has been let go: the next change is another step. */
export function settled<T>(history: History<T>): History<T> {
  return history.open === null ? history : { ...history, open: null };
}

/** One step back; the same where there is none. */
export function undone<T>({ past, now, future }: History<T>): History<T> {
  if (past.length === 0) return { past, now, future, open: null };
  return { past: past.slice(0, -1), now: past[past.length - 1], future: [now, ...future], open: null };
}

/** One step on again; the same where there is none. */
export function redone<T>({ past, now, future }: History<T>): History<T> {
  if (future.length === 0) return { past, now, future, open: null };
  return { past: [...past, now], now: future[0], future: future.slice(1), open: null };
}
