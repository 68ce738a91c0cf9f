import { readFile } from "node:fs/promises";
import { join } from "node:path";
import Papa from "papaparse";
import { z } from "zod";
import { readJob } from "../../../../core/job/read.ts";
import type { Job } from "../../../../core/job/schema.ts";
import type { NightCheck } from "../../../../core/sample/nightRun.ts";
import { findColumn, isFault, numbersOf, readTable } from "../../../../core/statistics/table.ts";
import { LibraryFault } from "../../library/faults.ts";

/** Folder of the demo run inside `samples/`, and its files. */
export const DEMO_FOLDER = "run";
export const DEMO_FILES = { drifting: { job: "../TRAY-7.job.json", checks: "TRAY-7.csv" }, steady: { job: "DISPLAY-2.job.json", checks: "DISPLAY-2.csv" }, story: "story.json" } as const;

/** What happened in the night beside the checks. */
const storySchema = z.object({
  sheets: z.object({ drifting: z.int(), steady: z.int() }),
  tools: z.array(z.object({ code: z.string(), name: z.string(), metresBefore: z.number() })),
  events: z.array(z.object({
    run: z.enum(["drifting", "steady"]), kind: z.enum(["tool-changed", "pallet-changed", "restart", "material-lot", "humidity", "note"]), sheet: z.int(),
    tool: z.string().optional(), detail: z.record(z.string(), z.union([z.string(), z.number()])), who: z.string(), note: z.string(),
  })),
  decisions: z.array(z.object({ run: z.enum(["drifting", "steady"]), sheet: z.int(), decision: z.enum(["aside", "accept", "re-cut", "reprint", "scrap", "concession"]), who: z.string(), why: z.string() })),
});

export type Story = z.infer<typeof storySchema>;

/** The checks of one run of the demo with its job; a sheet that comes twice was cut again in between. */
export interface DemoRunFile {
  readonly job: Job;
  readonly checks: readonly NightCheck[];
}

const COLUMNS = { offsetX: "offset_x", offsetY: "offset_y", rotation: "rotation", skew: "skew", scaleX: "scale_x", scaleY: "scale_y" } as const;

/** @throws LibraryFault "missing" where the samples have no demo run */
export async function readDemo(samplesDir: string): Promise<{ story: Story; drifting: DemoRunFile; steady: DemoRunFile }> {
  const folder = join(samplesDir, DEMO_FOLDER);
  const text = (name: string) => readFile(join(folder, name), "utf8").catch((error: Error) => {
    throw new LibraryFault("missing", `The demo run is not whole: ${name} cannot be read.`, "Make it with: npx kerfmark sample --demo --out samples", error);
  });
  const run = async (files: { job: string; checks: string }): Promise<DemoRunFile> => {
    const read = readJob(await text(files.job));
    if (!read.ok) throw new LibraryFault("invalid", `The demo's job has a fault: ${read.errors[0].message}`, "Make the samples anew.");
    return { job: read.job, checks: parseChecks(await text(files.checks), files.checks) };
  };
  return { story: storySchema.parse(JSON.parse(await text(DEMO_FILES.story))), drifting: await run(DEMO_FILES.drifting), steady: await run(DEMO_FILES.steady) };
}

/** The table of a run: readable by `kerfmark trend --csv` too. */
export function writeChecks(checks: readonly NightCheck[]): string {
  const rows = checks.map(({ sheet, takenAt, ...values }) => ({ sheet, taken_at: takenAt, ...Object.fromEntries(Object.entries(COLUMNS).map(([key, name]) => [name, values[key as keyof typeof COLUMNS]])) }));
  return `${Papa.unparse(rows, { newline: "\n" })}\n`;
}

function parseChecks(csv: string, name: string): NightCheck[] {
  const fault = (message: string): never => {
    throw new LibraryFault("invalid", `${name}: ${message}`, "Make the samples anew.");
  };
  const table = readTable(csv);
  if (isFault(table)) return fault(table.fault.message);
  const column = (key: string): number[] => {
    const values = numbersOf(table, key);
    return isFault(values) ? fault(values.fault.message) : values;
  };
  const at = findColumn(table, "taken_at");
  if (typeof at !== "number") return fault(at.fault.message);
  const [sheets, ...columns] = ["sheet", ...Object.values(COLUMNS)].map(column);
  return sheets.map((sheet, i) => {
    const [offsetX, offsetY, rotation, skew, scaleX, scaleY] = columns.map((values) => values[i]);
    return { sheet, takenAt: table.rows[i][at], offsetX, offsetY, rotation, skew, scaleX, scaleY };
  });
}
