/** A curve or a row of points. `rows[i]` is the check (index into the run's rows) behind point i; -1 where the line is broken. */
export interface PlotLine {
  readonly label: string;
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly rows: readonly number[];
  /** Neighbours farther apart than this are not joined. */
  readonly gap: number;
  /** `points`: readings joined by a thin line; `thick`: the chart to go by; `second`: another curve; `limit`: dashed; `low`, `high`: edges of the uncertainty, filled between. */
  readonly look: "points" | "thick" | "second" | "limit" | "thickLimit" | "low" | "high";
}

/** A value that holds over all of the chart. */
export interface PlotLevel {
  readonly y: number;
  readonly label: string;
  readonly look: "control" | "tolerance" | "centre";
}

/** Everything that a chart shows, in the units it shows. */
export interface PlotData {
  readonly label: string;
  readonly xLabel: string;
  readonly yLabel: string;
  readonly lines: readonly PlotLine[];
  readonly levels: readonly PlotLevel[];
  /** Points told apart by their shape: row by row. */
  readonly marked: ReadonlyMap<number, "signal" | "bad" | "outlier">;
  readonly verticals: readonly { readonly x: number; readonly label: string; readonly look: "event" | "change" }[];
  /** A point in words, for the line below the chart. */
  tell(row: number): string;
}

/** A line broken where sheets are missing: where the distance of two neighbours is above three times the usual one. `y` is null where nothing was measured. */
export function brokenLine(x: readonly number[], y: readonly (number | null)[]): Pick<PlotLine, "x" | "y" | "rows" | "gap"> {
  const steps = x.slice(1).map((v, i) => v - x[i]).sort((a, b) => a - b);
  const usual = steps[steps.length >> 1] ?? 1;
  const line = { x: [] as number[], y: [] as number[], rows: [] as number[], gap: 3 * usual };
  const push = (at: number, value: number, row: number): void => {
    line.x.push(at);
    line.y.push(value);
    line.rows.push(row);
  };
  for (const [i, at] of x.entries()) {
    if (i > 0 && at - x[i - 1] > line.gap) push((at + x[i - 1]) / 2, NaN, -1);
    const value = y[i];
    push(at, value ?? NaN, value === null ? -1 : i);
  }
  return line;
}
