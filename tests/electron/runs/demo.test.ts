import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { openLibrary } from "../../../electron/host/library/library.ts";
import { verifyLibrary } from "../../../electron/host/library/verify.ts";
import { adviceOfRun } from "../../../electron/host/runs/adviceOfRun.ts";
import { asideOfRun } from "../../../electron/host/runs/asideOfRun.ts";
import { chartsOfRun } from "../../../electron/host/runs/chartsOfRun.ts";
import { checkOfRun } from "../../../electron/host/runs/checkOfRun.ts";
import { DEMO_FOLDER } from "../../../electron/host/runs/demo/files.ts";
import { loadDemo } from "../../../electron/host/runs/demo/loadDemo.ts";
import { demoRunFiles } from "../../../electron/host/runs/demo/makeDemo.ts";
import { samplingOfRun } from "../../../electron/host/runs/samplingOfRun.ts";
import { wearOfRun } from "../../../electron/host/runs/wear.ts";
import { NIGHT } from "../../../core/sample/nightRun.ts";
import { freshFolder } from "../library/records.ts";

const SAMPLES = join(import.meta.dirname, "../../../samples");

test("the files in samples/run are what their generator makes", () => {
  for (const [name, text] of demoRunFiles(1)) expect(readFileSync(join(SAMPLES, DEMO_FOLDER, name), "utf8"), name).toBe(text);
});

test("the demo's night: 400 checks of a mixed stack in two runs; its drift, blade change, askew sheet and bad end are found", async () => {
  const folder = freshFolder();
  const library = await openLibrary(folder);
  const { loaded, runs } = await loadDemo(library, SAMPLES);
  expect(loaded).toBe(true);
  expect(runs.reduce((sum, run) => sum + run.checks, 0)).toBe(400);
  const [drifting, steady] = runs.map((run) => run.id);

  const charts = await chartsOfRun(library, drifting, { value: "offsetX", second: "offsetY" });
  expect(charts.orderedBy).toBe("sheet");
  const change = charts.changes.find((c) => c.event?.kind === "tool-changed");
  expect(change && Math.abs(charts.order[change.at - 1] - NIGHT.bladeChange)).toBeLessThanOrEqual(6);
  expect(charts.statistics.drift?.low).toBeGreaterThan(0.05);
  // Both runs lie in one stack: the times of one fall among those of the other.
  const other = await chartsOfRun(library, steady, { value: "offsetX" });
  expect(other.takenAt[40] > charts.takenAt[0] && other.takenAt[40] < charts.takenAt[charts.takenAt.length - 1]).toBe(true);

  const { advice, odd } = await adviceOfRun(library, drifting);
  expect(advice.action).toBe("correct");
  expect(advice.correction?.x).toBeGreaterThan(0.35); // printed side down: the print's right is the cutter's left
  expect(advice.messages.map((m) => m.key)).toEqual(expect.arrayContaining(["reason.drift", "cause.event", "cause.drift"]));
  expect(odd).toContainEqual(expect.objectContaining({ sheet: String(NIGHT.askew), value: "rotation" }));
  expect((await adviceOfRun(library, steady)).advice.action).toBe("wait");

  const aside = await asideOfRun(library, drifting);
  expect(aside.stack?.setAside.bad).toEqual(expect.arrayContaining([NIGHT.askew, NIGHT.drifting]));
  expect(aside.expected?.expected).toBeGreaterThan(10);
  expect(aside.sheets.find((s) => s.sheet === 77)).toMatchObject({ state: "by-eye", open: true });
  expect(aside.sheets.find((s) => s.sheet === NIGHT.drifting)?.consequences[0]).toHaveProperty("bleedLeft");
  const askew = aside.sheets.find((s) => s.sheet === NIGHT.askew);
  expect(askew).toMatchObject({ state: "clear", checks: 2, open: false });
  const again = await checkOfRun(library, drifting, askew?.check?.id ?? 0);
  expect(again.checks.map((c) => [c.verdict, c.recut])).toEqual([["out", 0], ["in", 1]]);
  expect(again.decisions.map((d) => d.decision)).toEqual(["re-cut"]);
  expect(again.picture).not.toBeNull();

  const wear = await wearOfRun(library, drifting, "offsetX");
  expect(new Set(wear.map((p) => p.toolId)).size).toBe(2);
  expect((await samplingOfRun(library, drifting, { badOverCheck: 5, faultsPer1000: 1 })).advised?.every).toBeLessThan((await samplingOfRun(library, steady, { badOverCheck: 5, faultsPer1000: 1 })).advised?.every ?? 0);

  expect(await loadDemo(library, SAMPLES)).toMatchObject({ loaded: false });
  await library.close();
  expect(await verifyLibrary(folder)).toMatchObject({ problems: [], remarks: [], counts: { runs: 2, checks: 400 } });
}, 60_000);
