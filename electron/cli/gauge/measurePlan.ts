import { dirname, resolve } from "node:path";
import Papa from "papaparse";
import type { CheckRecord } from "../../../core/check/record.ts";
import { GAUGE_VALUES, gaugeValuesOf } from "../../../core/gauge/values.ts";
import { findColumn, readTable } from "../../../core/statistics/table.ts";
import { loadJob, loadProfile } from "../check/inputs.ts";
import { DataFault, UsageFault } from "../exit.ts";
import { readCsv, unlessFault } from "../verbs/table.ts";

interface MeasureOptions {
  readonly job: string;
  readonly camera?: string;
  readonly value: string;
}

/**
 * Measures the pictures that a plan names (paths from the plan's own folder) and gives the readings as a table with a column `value`. While pictures are missing it says
 * which to take next, and gives null. @throws DataFault where a picture cannot be measured: a study with a hole in it says nothing.
 */
export async function measurePlan(csv: string, options: MeasureOptions): Promise<string | null> {
  const value = GAUGE_VALUES.find((v) => v === options.value);
  if (!value) throw new UsageFault(`"${options.value}" after --value is not a value that can be looked at.`, `Give one of ${GAUGE_VALUES.join(", ")}.`);
  const table = unlessFault(csv, readTable(await readCsv(csv)));
  const column = (name: string): number => {
    const at = findColumn(table, name);
    return unlessFault(csv, typeof at === "number" ? { at } : at).at;
  };
  const [part, operator, image] = ["part", "operator", "image"].map(column);
  const cell = (row: readonly string[], at: number): string => row[at] ?? "";
  const missing = table.rows.filter((row) => cell(row, image) === "");
  if (missing.length > 0) {
    const [next] = missing;
    process.stdout.write(`${table.rows.length - missing.length} of ${table.rows.length} pictures are there. Next: ${cell(next, operator)} pictures sheet ${cell(next, part)}.\n`);
    return null;
  }
  const records = await measured(table.rows.map((row) => cell(row, image)), dirname(csv), options);
  const reference = table.columns.indexOf("reference");
  const readings = table.rows.map((row, i) => {
    const record = records[i];
    if (record.status === "refused") throw new DataFault(`${csv}, row ${i + 1}: ${cell(row, image)} cannot be measured: ${record.refusal.message}`, "Take the picture again.");
    return { part: cell(row, part), operator: cell(row, operator), value: String(gaugeValuesOf(record)[value]), ...(reference < 0 ? {} : { reference: cell(row, reference) }) };
  });
  // Without a true value anywhere the column says nothing.
  const known = readings.some((r) => r.reference);
  return Papa.unparse({ fields: ["part", "operator", "value", ...(known ? ["reference"] : [])], data: readings }, { newline: "\n" });
}

async function measured(images: readonly string[], folder: string, options: MeasureOptions): Promise<CheckRecord[]> {
  const [{ job }, profile, { MeasurePool }] = await Promise.all([
    loadJob(options.job), options.camera === undefined ? undefined : loadProfile(options.camera), import("../../host/measure/pool.ts"),
  ]);
  const pool = new MeasurePool();
  try {
    return await Promise.all(images.map(async (name) => (await pool.check({ image: resolve(folder, name), name, job, profile })).record));
  } finally {
    await pool.close();
  }
}
