import { existsSync } from "node:fs";
import { mkdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import type { NightCheck } from "../../../../core/sample/nightRun.ts";
import type { NewCheck } from "../../library/checks.ts";
import type { NewEvent } from "../../library/events.ts";
import type { Library } from "../../library/library.ts";
import { demoRecorder } from "./demoRecord.ts";
import { demoPainter } from "./demoPicture.ts";
import { type DemoRunFile, readDemo, type Story } from "./files.ts";

/** By this note the demo's runs are known again. */
const DEMO_NOTE = "Demo: the night run of the samples";

export interface LoadedDemo {
  /** False where the demo's runs were there already. */
  readonly loaded: boolean;
  readonly runs: readonly { readonly id: number; readonly name: string; readonly checks: number }[];
}

/**
 * Enters the demo's night in the library: two runs that were cut from one mixed stack, with blades, events, decisions and a sheet that was cut again. Its
 * pictures are plain drawings, kept beside the library. A second time nothing is entered.
 * @throws LibraryFault
 */
export async function loadDemo(library: Library, samplesDir: string, progress?: (done: number, all: number) => void): Promise<LoadedDemo> {
  const there = (await library.runs.list()).filter((run) => run.note === DEMO_NOTE);
  if (there.length > 0) return { loaded: false, runs: there };
  const { story, drifting, steady } = await readDemo(samplesDir);
  const all = drifting.checks.length + steady.checks.length;
  const tools = new Map<string, number>();
  for (const tool of story.tools) tools.set(tool.code, (await library.tools.put({ ...tool, kind: "blade" })).id);
  let done = 0;
  const runs = [];
  for (const [name, file, which] of [["Night run, drifting", drifting, "drifting"], ["Night run, steady", steady, "steady"]] as const) {
    const { id: jobVersionId } = await library.jobs.put(file.job);
    const run = await library.runs.start({ jobVersionId, name: `${name} (${file.job.id})`, sheets: story.sheets[which], toolId: tools.get(story.tools[0].code) ?? null, note: DEMO_NOTE });
    await enterChecks(library, run.id, jobVersionId, file, () => progress?.(++done, all), () => enterStory(library, run.id, which, story, tools));
    runs.push({ id: run.id, name: run.name, checks: await library.checks.count(run.id) });
  }
  return { loaded: true, runs };
}

/** First cuts in their order of time, then what happened, then the sheets that were cut again. */
async function enterChecks(library: Library, runId: number, jobVersionId: number, { job, checks }: DemoRunFile, entered: () => void, happened: () => Promise<void>): Promise<void> {
  const folder = join(library.folder, "demo");
  await mkdir(folder, { recursive: true });
  const [paint, record] = [await demoPainter(job), demoRecorder(job)];
  const made = async (check: NightCheck, cutAgain: boolean): Promise<NewCheck> => {
    const name = `${job.id}-${check.sheet}${cutAgain ? "-again" : ""}.png`;
    const path = join(folder, name);
    if (!existsSync(path)) await writeFile(path, await paint(cutAgain ? check.sheet + 2 ** 15 : check.sheet));
    entered();
    return { runId, jobVersionId, picture: await library.pictures.keep(path), outcome: record(check, name), takenAt: check.takenAt };
  };
  const sheets = checks.map((check) => check.sheet);
  const isAgain = checks.map((check, i) => sheets.indexOf(check.sheet) < i);
  const all = [];
  for (const [i, check] of checks.entries()) all.push(await made(check, isAgain[i]));
  await library.checks.addAll(all.filter((_, i) => !isAgain[i]));
  await wait(5); // What is decided stands after the checks that it rests on, to the millisecond.
  await happened();
  await wait(5);
  await library.checks.addAll(all.filter((_, i) => isAgain[i]));
}

async function enterStory(library: Library, runId: number, which: "drifting" | "steady", story: Story, tools: ReadonlyMap<string, number>): Promise<void> {
  for (const { run, kind, sheet, tool, detail, who, note } of story.events) {
    if (run !== which) continue;
    await library.events.add({ runId, kind, detail, sheetNumber: sheet, toolId: tool === undefined ? null : (tools.get(tool) ?? null), who, note } as NewEvent);
  }
  for (const { run, sheet, decision, who, why } of story.decisions) {
    if (run === which) await library.dispositions.decide({ runId, sheets: [String(sheet)], decision, who, why });
  }
}
