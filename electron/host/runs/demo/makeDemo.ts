import { inSheetJob } from "../../../../core/sample/demoScene.ts";
import { makeJob } from "../../../../core/sample/jobs.ts";
import { askewCutAgain, NIGHT, nightRun } from "../../../../core/sample/nightRun.ts";
import { randomOf, seedOf } from "../../../../core/sample/random.ts";
import { DEMO_FILES, writeChecks, type Story } from "./files.ts";

const STORY: Story = {
  sheets: { drifting: NIGHT.drifting, steady: NIGHT.steady },
  tools: [{ code: "BL-0417", name: "Blade 417", metresBefore: 2150 }, { code: "BL-0418", name: "Blade 418", metresBefore: 0 }],
  events: [
    { run: "drifting", kind: "humidity", sheet: 1, detail: { percent: 46 }, who: "Mara", note: "" },
    { run: "drifting", kind: "pallet-changed", sheet: 181, detail: {}, who: "Mara", note: "second pallet of the same delivery" },
    { run: "drifting", kind: "humidity", sheet: 301, detail: { percent: 38 }, who: "Mara", note: "heating came on" },
    { run: "drifting", kind: "tool-changed", sheet: NIGHT.bladeChange, tool: "BL-0418", detail: {}, who: "Joris", note: "fresh blade, height set anew" },
    { run: "drifting", kind: "material-lot", sheet: 521, detail: { lot: "E-2207" }, who: "Joris", note: "" },
    { run: "steady", kind: "pallet-changed", sheet: 85, detail: {}, who: "Mara", note: "" },
  ],
  decisions: [
    { run: "drifting", sheet: 77, decision: "aside", who: "Mara", why: "ink smeared over the seed picture" },
    { run: "drifting", sheet: NIGHT.askew, decision: "re-cut", who: "Mara", why: "lay askew against the stops" },
  ],
};

/** The files of the demo's night by their names below `samples/run/`; the drifting run's job is the samples' own. */
export function demoRunFiles(seed: number): ReadonlyMap<string, string> {
  const { drifting, steady } = nightRun(seed);
  const display = makeJob({ state: "in-sheet", sheets: [[420, 300]], marks: [6, 6], qr: true }, randomOf(seedOf(seed, 9)));
  const job = { ...display, id: "DISPLAY-2", name: "Counter display card, Quillfern Seeds", cutFrom: "reverse", flip: "x", tolerance: inSheetJob(seed).tolerance };
  return new Map([
    [DEMO_FILES.steady.job, `${JSON.stringify(job, null, 2)}\n`],
    [DEMO_FILES.drifting.checks, writeChecks([...drifting, askewCutAgain(seed)])],
    [DEMO_FILES.steady.checks, writeChecks(steady)],
    [DEMO_FILES.story, `${JSON.stringify(STORY, null, 2)}\n`],
  ]);
}
