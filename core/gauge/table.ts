import { findColumn, numbersOf, readTable, tableFault, type TableFault } from "../statistics/table.ts";
import type { KnownReading } from "./bias.ts";
import type { Reading } from "./study.ts";

/** What a gauge table holds: readings by part and operator, and against known values where there is a column `reference`. */
export interface GaugeTable {
  readonly readings: readonly Reading[];
  readonly known: readonly KnownReading[];
}

/** Reads CSV with the columns `part`, `operator` and `value`, or `reference` and `value`, or all four. Empty values are faults. */
export function readGaugeTable(csv: string): GaugeTable | TableFault {
  const table = readTable(csv);
  if ("fault" in table) return table;
  const values = numbersOf(table, "value");
  if ("fault" in values) return values;
  const empty = values.findIndex(Number.isNaN);
  if (empty >= 0) return tableFault(`Row ${empty + 1}, column "value": no value is given.`, "Measure it, or leave the whole row out.");
  const crossed = table.columns.includes("part") || table.columns.includes("operator");
  const against = table.columns.includes("reference");
  if (!crossed && !against) return tableFault("The table has neither part and operator nor reference.", "Name the columns part, operator, value, or reference, value.");
  const readings: Reading[] = [];
  if (crossed) {
    const [part, operator] = [findColumn(table, "part"), findColumn(table, "operator")];
    if (typeof part !== "number") return part;
    if (typeof operator !== "number") return operator;
    for (const [i, row] of table.rows.entries()) {
      if (!row[part] || !row[operator]) return tableFault(`Row ${i + 1} does not say which part or who measured.`, "Fill in part and operator.");
      readings.push({ part: row[part], operator: row[operator], value: values[i] });
    }
  }
  const references = against ? numbersOf(table, "reference") : [];
  if ("fault" in references) return references;
  return { readings, known: references.flatMap((reference, i) => (Number.isNaN(reference) ? [] : [{ reference, value: values[i] }])) };
}
