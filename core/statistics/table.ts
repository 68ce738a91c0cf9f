import Papa from "papaparse";

/** What is wrong with a table, in one sentence, and what to do about it. */
export interface TableFault {
  readonly fault: { readonly message: string; readonly hint: string };
}

/** A table with a header row: trimmed cells by column. `rows[0]` is data row 1. */
export interface Table {
  readonly columns: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

/** Narrows a result to its fault. */
export const isFault = (result: object): result is TableFault => "fault" in result;

/** A fault with its hint. */
export function tableFault(message: string, hint: string): TableFault {
  return { fault: { message, hint } };
}

/**
 * Reads CSV with a header row (separator found by itself; quotes by RFC 4180). An empty line counts as an empty cell in a
 * table of one column and is passed over in a wider one; empty lines at the end never count.
 */
export function readTable(text: string): Table | TableFault {
  if (text.includes("\0")) return tableFault("This is not a text file.", "Save the table as CSV in UTF-8.");
  const { data, errors } = Papa.parse<string[]>(text.replace(/(\r?\n[ \t]*)+$/, ""), { delimitersToGuess: [",", ";", "\t", "|"] });
  const broken = errors.find((e) => e.type === "Quotes");
  if (broken) {
    return tableFault(`A quote is left open in line ${(broken.row ?? 0) + 1} of the file.`, "Close the quote, or save the table as CSV again.");
  }
  const [head = [], ...body] = data;
  const columns = head.map((name) => name.trim());
  if (!columns.some((name) => name !== "")) return tableFault("The table has no header row.", "Name the columns in the first line.");
  const rows = body.filter((row) => columns.length === 1 || row.length > 1 || row[0].trim() !== "").map((row) => row.map((cell) => cell.trim()));
  const long = rows.findIndex((row) => row.length > columns.length && row.slice(columns.length).some((cell) => cell !== ""));
  if (long >= 0) {
    return tableFault(
      `Row ${long + 1} has ${rows[long].length} cells but the header names ${columns.length}.`,
      "Write decimals with a point, or separate the cells with semicolons.",
    );
  }
  return { columns, rows };
}

/** The position of the one column called `name`. */
export function findColumn(table: Table, name: string): number | TableFault {
  const found = table.columns.flatMap((column, i) => (column === name ? [i] : []));
  if (found.length === 1) return found[0];
  const there = table.columns.map((column) => `"${column}"`).join(", ");
  return found.length === 0
    ? tableFault(`The table has no column "${name}".`, `It has ${there}.`)
    : tableFault(`The table has ${found.length} columns called "${name}".`, "Give each column its own name.");
}

const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?$/;

/** The numbers of a column by data row; NaN for an empty cell or `NaN`. Any other text is a fault that names row and column. */
export function numbersOf(table: Table, name: string): number[] | TableFault {
  const at = findColumn(table, name);
  if (typeof at !== "number") return at;
  const values: number[] = [];
  for (const [i, row] of table.rows.entries()) {
    const cell = row[at] ?? "";
    const value = cell === "" || cell.toLowerCase() === "nan" ? Number.NaN : NUMBER.test(cell) ? Number(cell) : Infinity;
    if (value === Infinity || value === -Infinity) {
      const comma = /^[+-]?\d+,\d+$/.test(cell);
      return tableFault(
        `Row ${i + 1}, column "${name}": "${cell}" is not a number.`,
        comma ? "Write decimals with a point." : "Give a number, or leave the cell empty where nothing was measured.",
      );
    }
    values.push(value);
  }
  return values;
}
