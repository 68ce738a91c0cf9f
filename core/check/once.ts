/** Asks when the answer is first wanted, and remembers it. */
export function once<T>(ask: () => T): () => T {
  let answer: { readonly value: T } | null = null;
  return () => (answer ??= { value: ask() }).value;
}
