/** One entity: its type and its group codes with their values, in file order. */
export interface Entity {
  readonly type: string;
  readonly tags: ReadonlyArray<readonly [number, string]>;
  /** Vertices of a POLYLINE. */
  readonly vertices: Entity[];
}

/** The first value of a group code as a number, else `otherwise`. */
export function num(entity: Entity, code: number, otherwise = 0): number {
  const found = entity.tags.find(([c]) => c === code);
  return found ? Number(found[1]) : otherwise;
}

/** The first value of a group code, else "". */
export function text(entity: Entity, code: number): string {
  return entity.tags.find(([c]) => c === code)?.[1] ?? "";
}
