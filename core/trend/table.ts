import { numbersOf, readTable, tableFault, type TableFault } from "../statistics/table.ts";
import type { TrendInput } from "./trend.ts";

/** The columns of a table that a trend is made of. */
export interface Columns {
  readonly column: string;
  readonly second?: string;
  readonly order?: string;
}

/** What a table gives to a trend; `sorted` tells that the rows were put into the order of the order column. */
export type TrendColumns = Pick<TrendInput, "column" | "values" | "second" | "order"> & { readonly sorted: boolean };

/**
 * Reads the columns from CSV. With an order column the rows are put in its order and counted in it; a row that has a value
 * must have a place. Faults name row and column.
 */
export function readTrendColumns(csv: string, names: Columns): TrendColumns | TableFault {
  const table = readTable(csv);
  if ("fault" in table) return table;
  if (table.rows.length === 0) return tableFault("The table has a header but no rows.", "Give one row per sheet.");
  const read: Partial<Record<keyof Columns, number[]>> = {};
  for (const key of ["column", "second", "order"] as const) {
    const name = names[key];
    if (name === undefined) continue;
    const values = numbersOf(table, name);
    if ("fault" in values) return values;
    read[key] = values;
  }
  const { column: values = [], second, order } = read;
  for (const [key, column] of [["column", values], ["second", second]] as const) {
    if (column?.every(Number.isNaN)) return tableFault(`Column "${names[key]}" holds no values.`, "Name a column with measured values.");
  }
  if (!order) return { column: names.column, values, second: named(names.second, second), sorted: false };
  const lost = order.findIndex((place, i) => Number.isNaN(place) && !(Number.isNaN(values[i]) && Number.isNaN(second?.[i] ?? Number.NaN)));
  if (lost >= 0) return tableFault(`Row ${lost + 1}, column "${names.order}": no place is given for a measured value.`, "Fill in the number, or leave out --order.");
  const before = order.findLast((place) => !Number.isNaN(place)) ?? 0;
  const places = order.map((place, i) => (Number.isNaN(place) ? (order[i - 1] ?? before) : place));
  const rows = places.map((_, i) => i).sort((a, b) => places[a] - places[b] || a - b);
  const along = (column: readonly number[]): number[] => rows.map((i) => column[i]);
  return {
    column: names.column, values: along(values), second: named(names.second, second && along(second)), order: along(places),
    sorted: rows.some((row, i) => row !== i),
  };
}

function named(column: string | undefined, values: readonly number[] | undefined): TrendInput["second"] {
  return column !== undefined && values ? { column, values } : undefined;
}
