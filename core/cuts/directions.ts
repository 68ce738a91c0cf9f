/** Chunks are told by direction in so many parts of a turn. */
export const DIRECTIONS = 16;

/** In which of them a normal points. */
export function directionOf({ nx, ny }: { readonly nx: number; readonly ny: number }): number {
  return Math.round((Math.atan2(ny, nx) / (2 * Math.PI)) * DIRECTIONS) & (DIRECTIONS - 1);
}

/** Which share of the chunks of each direction was found; of a direction of fewer than `least` all. */
export function shareFound(chunks: readonly { readonly found: boolean; readonly chunk: { readonly nx: number; readonly ny: number } }[], least = 1): number[] {
  return byDirection(chunks).map((side) => (side.length < least ? 1 : side.filter((c) => c.found).length / side.length));
}

/** What of a cut faces one way. */
export interface Side<T> {
  readonly direction: number;
  readonly chunks: readonly T[];
}

/** Pieces of cut by direction, of those in which at least so many face. */
export function sidesOf<T extends { readonly chunk: { readonly nx: number; readonly ny: number } }>(pieces: readonly T[], least: number): Side<T>[] {
  return byDirection(pieces).map((chunks, direction) => ({ direction, chunks })).filter(({ chunks }) => chunks.length >= least);
}

/** Pieces of cut by direction. */
export function byDirection<T extends { readonly chunk: { readonly nx: number; readonly ny: number } }>(pieces: readonly T[]): T[][] {
  const groups = Array.from({ length: DIRECTIONS }, (): T[] => []);
  for (const piece of pieces) groups[directionOf(piece.chunk)].push(piece);
  return groups;
}
