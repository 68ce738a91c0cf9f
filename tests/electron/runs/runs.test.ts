import { expect, test } from "vitest";
import { openLibrary, type Library } from "../../../electron/host/library/library.ts";
import { stackOfRun, stackOrNull } from "../../../electron/host/runs/stack.ts";
import { overviewOfRun } from "../../../electron/host/runs/summary.ts";
import { trendOfRun } from "../../../electron/host/runs/trendOfRun.ts";
import { wearOfRun } from "../../../electron/host/runs/wear.ts";
import { freshFolder, measured, picture, second, trayJob } from "../library/records.ts";

/** A library whose clock goes on by a second at each look. */
async function withRun(sheets: number | null = 40) {
  let ticks = 0;
  const library = await openLibrary(freshFolder(), { now: () => new Date(Date.UTC(2026, 2, 2) + 1000 * ticks++) });
  const { id: jobVersionId } = await library.jobs.put(trayJob());
  const { id: runId } = await library.runs.start({ jobVersionId, sheets });
  let n = 0;
  const check = (sheet: number | undefined, worst: number) =>
    library.checks.add({ runId, jobVersionId, picture: picture(`p${n}`), takenAt: second(n++), outcome: { record: measured(sheet === undefined ? undefined : String(sheet), worst) } });
  return { library, runId, jobVersionId, check };
}

async function close(library: Library) {
  await library.close();
}

test("the contract's stack of 40: checks 8 in, 17 out, 24 in", async () => {
  const { library, runId, check } = await withRun();
  await check(24, 0.1);
  await check(8, 0.1);
  await check(17, 0.8);
  const { setAside, sheetsKnown } = await stackOfRun(library, runId);
  // Contract section 5, the example of `kerfmark setaside` (seen).
  expect(setAside).toEqual({
    format: "kerfmark.setaside/1", bad: [17], suspect: [{ from: 9, to: 16, fromTop: [25, 32] }, { from: 18, to: 23, fromTop: [18, 23] }],
    clear: [{ from: 1, to: 8 }, { from: 24, to: 40 }], next: 12,
  });
  expect(sheetsKnown).toBe(true);
  await close(library);
});

test("a re-cut sheet checked again is clear itself and leaves its neighbours suspect; a sheet set aside by eye is open", async () => {
  const { library, runId, check } = await withRun();
  await check(8, 0.1);
  await check(17, 0.8);
  await library.dispositions.decide({ runId, sheets: ["17"], decision: "re-cut", who: "Ada", why: "out" });
  await check(17, 0.1);
  await library.dispositions.decide({ runId, sheets: ["2"], decision: "aside", who: "Bo", why: "torn corner" });
  const { standings, setAside } = await stackOfRun(library, runId);
  expect([standings[16].state, standings[15].state, standings[1].state, standings[1].seen]).toEqual(["clear", "suspect", "by-eye", "torn corner"]);
  expect(setAside.bad).toEqual([17]);
  await close(library);
});

test("without a stack size the highest sheet counts; without any number nothing is said", async () => {
  const { library, runId, check } = await withRun(null);
  await check(undefined, 0.1);
  await expect(stackOfRun(library, runId)).rejects.toMatchObject({ code: "invalid" });
  expect(await stackOrNull(library, runId)).toBeNull();
  await check(12, 0.1);
  expect(await stackOfRun(library, runId)).toMatchObject({ sheets: 12, sheetsKnown: false, outside: 1 });
  await close(library);
});

test("the trend of a run: sheet numbers as abscissa, the job's limits, signed values, the measurement's share taken out", async () => {
  const { library, runId, check } = await withRun(400);
  // A ramp of 0.1 mm per 100 sheets with a fixed pattern over it; sheets in reverse order of arrival.
  for (let sheet = 391; sheet >= 1; sheet -= 10) await check(sheet, 0.001 * (sheet - 200) + 0.03 * Math.sin(sheet * 2.4));
  const { trend, order, orderedBy, limits, unit, rows } = await trendOfRun(library, runId, { value: "position", baseline: { from: 1, to: 20 } });
  expect([orderedBy, order[0], order.at(-1), unit]).toEqual(["sheet", 1, 391, "mm"]);
  expect(limits).toEqual({ lower: -0.5, upper: 0.5 });
  expect(trend.drift?.low).toBeLessThan(0.1);
  expect(trend.drift?.high).toBeGreaterThan(0.1);
  expect(trend.process?.u).toBeCloseTo(0.015, 12);
  expect(rows.values.position?.some((v) => (v ?? 0) < 0)).toBe(true);
  await close(library);
});

test("overview: verdicts, events and tools of a run", async () => {
  const { library, runId, check } = await withRun();
  await check(1, 0.1);
  await check(2, 0.8);
  await library.events.add({ runId, kind: "restart", detail: {}, sheetNumber: 2 });
  expect(await overviewOfRun(library, runId)).toMatchObject({ checks: 2, verdicts: { in: 1, out: 1, unsure: 0 }, events: [{ kind: "restart" }], job: { id: "TRAY-7" } });
  await expect(overviewOfRun(library, 99)).rejects.toMatchObject({ code: "not-found" });
  await close(library);
});

test("the error against metres cut goes on over runs and starts anew with a new blade", async () => {
  const { library, jobVersionId } = await withRun();
  const [old, fresh] = [await library.tools.put({ code: "B-1", metresBefore: 100 }), await library.tools.put({ code: "B-2" })];
  await library.runs.start({ jobVersionId, sheets: 50, toolId: old.id });
  const run = await library.runs.start({ jobVersionId, sheets: 20, toolId: old.id });
  await library.events.add({ runId: run.id, kind: "tool-changed", detail: {}, sheetNumber: 11, toolId: fresh.id });
  for (const sheet of [1, 10, 11, 20]) {
    await library.checks.add({ runId: run.id, jobVersionId, picture: picture(`w${sheet}`), takenAt: second(sheet), outcome: { record: measured(String(sheet), 0.1) } });
  }
  expect((await wearOfRun(library, run.id, "position")).map((p) => [p.sheet, p.toolId, p.metres])).toEqual([[1, old.id, 150], [10, old.id, 159], [11, fresh.id, 0], [20, fresh.id, 9]]);
  await close(library);
});
