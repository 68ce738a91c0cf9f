/** Chunks are told by direction in so many parts of a turn. */
export const DIRECTIONS = 16;

/** In which of them a normal points. */
export function directionOf({ nx, ny }: { readonly nx: number; readonly ny: number }): number {
  return Math.round((Math.atan2(ny, nx) / (2 * Math.PI)) * DIRECTIONS) & (DIRECTIONS - 1);
}

/** Pieces of cut by direction. */
export function byDirection<T extends { readonly chunk: { readonly nx: number; readonly ny: number } }>(pieces: readonly T[]): T[][] {
  const groups = Array.from({ length: DIRECTIONS }, (): T[] => []);
  for (const piece of pieces) groups[directionOf(piece.chunk)].push(piece);
  return groups;
}
