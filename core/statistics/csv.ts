import Papa from "papaparse";

/** What may divide the columns, by its name. */
export const SEPARATORS = { comma: ",", semicolon: ";", tab: "\t" } as const;
export type Separator = keyof typeof SEPARATORS;

/** Null is an empty cell, and so is a number that is not finite. */
export type Cell = string | number | null;

/** How a table is written. */
export interface CsvManner {
  readonly csvSeparator: Separator;
  /** Written only where it does not divide the columns; a point else. */
  readonly decimal: "." | ",";
}

/**
 * Rows under a header as CSV (RFC 4180), figures unrounded. Text that a spreadsheet would run as a formula gets a leading apostrophe; numbers, also negative ones, are left alone.
 */
export function csvText(header: readonly string[], rows: readonly (readonly Cell[])[], { csvSeparator, decimal }: CsvManner): string {
  const delimiter = SEPARATORS[csvSeparator];
  const point = decimal === delimiter ? "." : decimal;
  const written = (cell: Cell): string => (typeof cell === "number" ? (Number.isFinite(cell) ? String(cell).replace(".", point) : "") : guarded(cell ?? ""));
  return `${Papa.unparse([[...header], ...rows.map((row) => row.map(written))], { delimiter })}\r\n`;
}

/** Signs by which a spreadsheet takes a text for a formula. */
function guarded(text: string): string {
  return /^[=+\-@\t\r]/.test(text) ? `'${text}` : text;
}
