import Papa from "papaparse";
import type { Settings } from "../../../electron/host/app/choices.ts";

/** Hands a file to the reader's downloads. */
export function saveFile(name: string, href: string): void {
  const link = document.createElement("a");
  link.href = href;
  link.download = name;
  link.click();
}

export type Cell = string | number | null;

/**
 * Rows as CSV with the shop's separator. Figures are unrounded; they carry a decimal comma where the shop writes one and does not separate by commas. Text that a spreadsheet
 * would run as a formula is guarded, numbers are not.
 */
export function csvText(header: readonly string[], rows: readonly (readonly Cell[])[], { csvSeparator }: Pick<Settings, "csvSeparator">, decimal: "." | ","): string {
  const delimiter = { comma: ",", semicolon: ";", tab: "\t" }[csvSeparator];
  const comma = decimal === "," && delimiter !== ",";
  const cell = (value: Cell): string => {
    if (value === null) return "";
    if (typeof value === "number") return Number.isFinite(value) ? (comma ? String(value).replace(".", ",") : String(value)) : "";
    return /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  };
  return `${Papa.unparse([[...header], ...rows.map((row) => row.map(cell))], { delimiter })}\r\n`;
}

/** Saves text as a file; a byte order mark lets spreadsheets see UTF-8. */
export function saveText(name: string, text: string): void {
  const url = URL.createObjectURL(new Blob(["\ufeff", text], { type: "text/csv;charset=utf-8" }));
  saveFile(name, url);
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}
