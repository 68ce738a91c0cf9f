import { type BoardTarget, printedScale } from "./target.ts";

/** An inner corner of a board, mm in the target's print frame. */
export interface BoardCorner {
  /** Row by row from the upper left, as the markers are numbered. */
  readonly id: number;
  readonly x: number;
  readonly y: number;
  /** Whether the squares at its upper right and lower left are the dark ones. */
  readonly darkUpperRight: boolean;
}

/** A square of a board by its lower left corner, mm; a light one carries a marker. */
export interface BoardSquare {
  readonly x: number;
  readonly y: number;
  /** Number of its marker; null for a dark square. */
  readonly marker: number | null;
}

/** Whether the square in `column` and `row`, counted from the upper left, is dark. */
function isDark({ rows, legacy }: BoardTarget, column: number, row: number): boolean {
  return (column + row + (legacy && rows % 2 === 0 ? 1 : 0)) % 2 === 0;
}

/** The inner corners in the order of their numbers; true positions by the measured rules where they are given. */
export function cornersOf(target: BoardTarget): BoardCorner[] {
  const { columns, rows, square } = target;
  const by = printedScale(target);
  const across = columns - 1;
  return Array.from({ length: across * (rows - 1) }, (_, id) => {
    const [column, row] = [id % across, Math.floor(id / across)];
    return { id, x: (column + 1) * square * by.x, y: (rows - 1 - row) * square * by.y, darkUpperRight: isDark(target, column + 1, row) };
  });
}

/** All squares, row by row from the upper left, at their nominal places. */
export function squaresOf(target: BoardTarget): BoardSquare[] {
  const { columns, rows, square } = target;
  let next = 0;
  return Array.from({ length: columns * rows }, (_, i) => {
    const [column, row] = [i % columns, Math.floor(i / columns)];
    return { x: column * square, y: (rows - 1 - row) * square, marker: isDark(target, column, row) ? null : next++ };
  });
}
