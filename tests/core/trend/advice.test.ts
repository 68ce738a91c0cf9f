import { describe, expect, it } from "vitest";
import { advise, outlierOf, trendsOf } from "../../../core/trend/advice.ts";
import { matchEvents } from "../../../core/trend/events.ts";
import { ENGLISH, say } from "../../../core/trend/messages.ts";
import { sample, sampling } from "../../../core/trend/sampling.ts";
import { gaussian } from "../../support/gaussian.ts";

const job = { cutFrom: "reverse" as const, flip: "x" as const, tolerance: { position: 0.5, offset: 0.4, scale: 1, skew: 0.8 } };
const run = (mean: (i: number) => number, seed: number, sigma = 0.05) => {
  const normal = gaussian(seed);
  return Array.from({ length: 100 }, (_, i) => mean(i) + sigma * normal());
};

describe("advise", () => {
  it("waits while the chart is quiet, even where the last reading is far off", () => {
    const quiet = run(() => 0, 1);
    quiet[99] = 0.12;
    const advice = advise(job, trendsOf({ offsetX: quiet }));
    expect(advice).toMatchObject({ action: "wait", correction: null });
  });

  it("corrects a step by its size, in the cutter frame, with words for the direction", () => {
    const advice = advise(job, trendsOf({ offsetX: run((i) => (i >= 70 ? 0.31 : 0), 2), offsetY: run(() => 0, 3) }), {
      axes: { plusX: "towards the operator's right", minusX: "towards the operator's left", plusY: "away", minusY: "towards you" },
    });
    expect(advice.action).toBe("correct");
    expect(advice.correction?.x).toBeGreaterThan(0.28); // print +x is cutter -x on a sheet turned over left-right
    expect(advice.correction?.x).toBeLessThan(0.34);
    expect(advice.correction?.y).toBe(0);
    expect(advice.shifts[0]).toMatchObject({ value: "offsetX", pattern: "step" });
    const text = advice.messages.map((m) => say(m)).join(" ");
    expect(text).toMatch(/Move the cut 0\.3\d mm towards the operator's right as seen at the cutter \(X \+0\.3\d\)/);
    expect(text).toMatch(/sudden step at row (69|70|71|72)/);
    expect(text).not.toContain("{");
  });

  it("does not correct skew or scatter, but looks for a cause", () => {
    const skewed = advise(job, trendsOf({ skew: run((i) => (i >= 60 ? 0.6 : 0), 4) }));
    expect(skewed).toMatchObject({ action: "look", correction: null });
    const wild = advise(job, trendsOf({ offsetX: run(() => 0, 5, 0.3) }));
    expect(wild.messages.map((m) => m.key)).toEqual(["action.look", "cause.scatter"]);
  });

  it("adjusts a stable process hardly ever (an adjustment on every reading would be 100 %)", () => {
    const corrected = Array.from({ length: 100 }, (_, i) => advise(job, trendsOf({ offsetX: run(() => 0, 100 + i) })).action);
    expect(corrected.filter((a) => a === "correct").length).toBeLessThanOrEqual(5);
  });

  it("says why: how far off, since when, and beside which event", () => {
    const stepped = trendsOf({ offsetX: run((i) => (i >= 70 ? 0.31 : 0), 2) });
    const named = { at: "sheet" as const, of: (row: number) => String(5 * row) };
    const keys = (events: { at: number; kind: string }[]) => advise(job, stepped, { named, events }).messages.map((m) => m.key);
    expect(keys([{ at: 71, kind: "tool-changed" }])).toEqual(["action.correct", "reason.shift", "move", "cause.event"]);
    expect(keys([{ at: 20, kind: "tool-changed" }])).toEqual(["action.correct", "reason.shift", "move", "cause.step"]);
    const text = advise(job, stepped, { named, events: [{ at: 71, kind: "tool-changed" }] }).messages.map((m) => say(m)).join(" ");
    expect(text).toMatch(/offsetX is 0\.3\d+ mm off \(± 0\.0\d+, 95 %\).*began at sheet 3[4-6]\d/);
    expect(text).toContain("(tool-changed)");
    expect(text).not.toContain("{");
  });

  it("tells a drift from a step", () => {
    const advice = advise(job, trendsOf({ offsetY: run((i) => 0.004 * Math.max(0, i - 40), 6) }));
    expect(advice.shifts[0]?.pattern).toBe("drift");
    expect(advice.messages.map((m) => m.key)).toEqual(["action.correct", "reason.drift", "move", "cause.drift"]);
  });

  it("corrects a set-up that was off from the start by a fair part of the tolerance, and leaves a small one alone", () => {
    const off = (level: number) => advise(job, trendsOf({ offsetX: run(() => level, 9) }));
    expect(off(0.2)).toMatchObject({ action: "correct", shifts: [{ pattern: "level", since: null }] });
    expect(off(0.2).messages.map((m) => m.key)).toEqual(["action.correct", "reason.level", "move", "cause.shift"]);
    expect(off(0.04).action).toBe("wait");
  });

  it("marks every cause as what it is", () => {
    for (const [key, text] of Object.entries(ENGLISH)) if (key.startsWith("cause.")) expect(text, key).toContain("(common practice, no source)");
  });
});

describe("sampling", () => {
  const base = { limit: 0.4, level: 0, drift: 0, sigma: 0.05, faultsPerSheet: 0.001, badOverCheck: 5 };

  it("finds the interval sqrt(2 / (r f)) where sudden faults alone count", () => {
    expect(sampling(base).every).toBe(Math.round(Math.sqrt(2 / (5 * 0.001))));
  });

  it("checks more often the dearer a bad sheet, the faster the drift and the nearer the limit", () => {
    const every = (changes: Partial<typeof base>) => sampling({ ...base, ...changes }).every;
    expect(every({ badOverCheck: 50 })).toBeLessThan(every({}));
    expect(every({ drift: 0.02 })).toBeLessThan(every({}));
    expect(every({ drift: 0.01, level: 0.2 })).toBeLessThan(every({ drift: 0.01 }));
  });

  it("tells what a given interval misses", () => {
    expect(sample({ ...base, drift: 0.004 }, 100)).toMatchObject({ badPerFault: 50.5, outAtNext: expect.closeTo(0.5, 6) });
  });
});

describe("outlierOf", () => {
  const marks = (...residuals: number[]) => residuals.map((residual, i) => ({ id: `M${i + 1}`, residual }));

  it("names the one mark that disagrees, and none where all or several do", () => {
    expect(outlierOf(marks(0.01, 0.02, 0.4, 0.015))).toEqual({ key: "cause.outlier", with: { value: "M3" } });
    expect(outlierOf(marks(0.01, 0.02, 0.03, 0.015))).toBeNull();
    expect(outlierOf(marks(0.01, 0.4, 0.4, 0.012, 0.015, 0.02))).toBeNull();
    expect(outlierOf(marks(0.01, 0.4, 0.01))).toBeNull();
  });
});

describe("matchEvents", () => {
  it("pairs each change with the nearest event, and keeps those that stand alone", () => {
    const changes = [{ at: 60 }, { at: 62 }, { at: 120 }];
    const events = [{ at: 61, what: "blade" }, { at: 200, what: "pallet" }];
    expect(matchEvents(changes, events).map((m) => [m.change?.at, m.event?.what])).toEqual([
      [60, "blade"], [62, undefined], [120, undefined], [undefined, "pallet"],
    ]);
  });
});
