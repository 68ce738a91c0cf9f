/** A change of level or a logged event, each without the other where nothing matches. */
export interface Matched<C, E> {
  readonly change: C | null;
  readonly event: E | null;
}

/**
 * Sets changes found in the values beside events that were logged (a blade, a pallet, a restart, a correction). `at` is a data
 * row for both, an event standing at the first row after it. A change and the nearest event at most `within` rows away
 * belong together, nearest pairs first; each is used once. In the order of their rows.
 */
export function matchEvents<C extends { readonly at: number }, E extends { readonly at: number }>(
  changes: readonly C[], events: readonly E[], within = 3,
): Matched<C, E>[] {
  const pairs = changes
    .flatMap((change) => events.map((event) => ({ change, event, apart: Math.abs(change.at - event.at) })))
    .filter((p) => p.apart <= within)
    .sort((a, b) => a.apart - b.apart || a.change.at - b.change.at || a.event.at - b.event.at);
  const [usedChanges, usedEvents] = [new Set<C>(), new Set<E>()];
  const matched: Matched<C, E>[] = [];
  for (const { change, event } of pairs) {
    if (usedChanges.has(change) || usedEvents.has(event)) continue;
    usedChanges.add(change);
    usedEvents.add(event);
    matched.push({ change, event });
  }
  const alone: Matched<C, E>[] = [
    ...changes.filter((c) => !usedChanges.has(c)).map((change) => ({ change, event: null })),
    ...events.filter((e) => !usedEvents.has(e)).map((event) => ({ change: null, event })),
  ];
  const row = (m: Matched<C, E>): number => m.change?.at ?? m.event?.at ?? 0;
  return [...matched, ...alone].sort((a, b) => row(a) - row(b));
}
