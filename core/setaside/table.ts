import type { Verdict } from "../check/record.ts";
import { findColumn, readTable, tableFault, type TableFault } from "../statistics/table.ts";

/**
 * Reads the checks of a stack of `sheets` from CSV: `sheet` (1..sheets) and `verdict` (`in`, `out`, `unsure`, empty = not
 * checked); other columns are passed over. A later row of the same sheet wins. Faults name the row.
 */
export function readChecks(csv: string, sheets: number): Map<number, Verdict> | TableFault {
  const table = readTable(csv);
  if ("fault" in table) return table;
  const sheetAt = findColumn(table, "sheet");
  if (typeof sheetAt !== "number") return sheetAt;
  const verdictAt = findColumn(table, "verdict");
  if (typeof verdictAt !== "number") return verdictAt;
  const checks = new Map<number, Verdict>();
  for (const [i, row] of table.rows.entries()) {
    const name = row[sheetAt] ?? "";
    const sheet = /^\d+(\.0+)?$/.test(name) ? Number(name) : Number.NaN;
    if (!(sheet >= 1 && sheet <= sheets)) {
      const what = name === "" ? "no sheet is given" : `"${name}" is not a sheet of this stack`;
      return tableFault(`Row ${i + 1}, column "sheet": ${what}.`, `Give a whole number from 1 to ${sheets}.`);
    }
    const verdict = (row[verdictAt] ?? "").toLowerCase();
    if (verdict === "in" || verdict === "out" || verdict === "unsure") checks.set(sheet, verdict);
    else if (verdict === "") checks.delete(sheet);
    else return tableFault(`Row ${i + 1}, column "verdict": "${row[verdictAt]}" is no verdict.`, "Give in, out or unsure, or leave the cell empty where the sheet was not checked.");
  }
  return checks;
}
