/** One entity: its type, and its group codes with their values in file order. */
export interface Entity {
  readonly type: string;
  readonly codes: readonly number[];
  readonly values: readonly string[];
  /** Vertices of a POLYLINE. */
  readonly vertices: readonly Entity[];
}

/** Where an entity stands in the file. Its tags are read when it is drawn and then forgotten: all at once they take forty times the file's size. */
export interface EntityPlace {
  readonly type: string;
  readonly from: number;
  readonly to: number;
  /** Absent where there are none: most entities. */
  vertices?: EntityPlace[];
}

/** The first value of a group code as a number, else `otherwise`. */
export function num(entity: Entity, code: number, otherwise = 0): number {
  const i = entity.codes.indexOf(code);
  return i < 0 ? otherwise : Number(entity.values[i]);
}

/** The first value of a group code, else "". */
export function text(entity: Entity, code: number): string {
  const i = entity.codes.indexOf(code);
  return i < 0 ? "" : entity.values[i];
}

/** Whether an entity has a group code. */
export function has(entity: Entity, code: number): boolean {
  return entity.codes.includes(code);
}

/** All values of a group code as numbers. */
export function all(entity: Entity, code: number): number[] {
  return entity.values.filter((_, i) => entity.codes[i] === code).map(Number);
}

/** Reads an entity's tags. */
export function openEntity(source: string, place: EntityPlace): Entity {
  const codes: number[] = [];
  const values: string[] = [];
  eachTag(source, place.from, place.to, (code, from, to) => {
    codes.push(code);
    values.push(source.slice(from, to).trim());
  });
  return { type: place.type, codes, values, vertices: place.vertices?.map((v) => openEntity(source, v)) ?? [] };
}

/**
 * Goes through the pairs of lines from `from` to `to`: `visit` gets the group code, and where its value begins and ends; it may return true to stop. Gives where
 * it stopped, or -1 where a line that must be a group code is none. An empty line where a group code should be ends the file, a last single line is passed over.
 */
export function eachTag(source: string, from: number, to: number, visit: (code: number, from: number, to: number, next: number) => boolean | void): number {
  let at = from;
  while (at < to) {
    const end = endOfLine(source, at, to);
    const code = groupCode(source, at, end);
    if (code === null) return source.slice(at, end).trim() === "" && at > from ? at : -1;
    const value = afterBreak(source, end);
    if (value > to || (value === to && end === to)) return to;
    const valueEnd = endOfLine(source, value, to);
    const next = afterBreak(source, valueEnd);
    if (visit(code, value, valueEnd, next)) return next;
    at = next;
  }
  return at;
}

const [LF, CR, SPACE, TAB, MINUS, PLUS, ZERO, NINE] = [10, 13, 32, 9, 45, 43, 48, 57];

function endOfLine(source: string, at: number, to: number): number {
  for (let i = at; i < to; i++) {
    const c = source.charCodeAt(i);
    if (c === LF || c === CR) return i;
  }
  return to;
}

/** Past one line break of any of the three kinds. */
function afterBreak(source: string, at: number): number {
  return source.charCodeAt(at) === CR && source.charCodeAt(at + 1) === LF ? at + 2 : at + 1;
}

/** The whole number that a line holds, blanks round it allowed; null for anything else. */
function groupCode(source: string, from: number, to: number): number | null {
  let i = from;
  while (i < to && isBlank(source.charCodeAt(i))) i++;
  const sign = source.charCodeAt(i);
  if (i < to && (sign === MINUS || sign === PLUS)) i++;
  let value = 0;
  let digits = 0;
  for (; i < to; i++, digits++) {
    const c = source.charCodeAt(i);
    if (c < ZERO || c > NINE) break;
    value = 10 * value + c - ZERO;
  }
  while (i < to && isBlank(source.charCodeAt(i))) i++;
  return digits > 0 && digits < 6 && i === to ? (sign === MINUS ? -value : value) : null;
}

function isBlank(c: number): boolean {
  return c === SPACE || c === TAB;
}
