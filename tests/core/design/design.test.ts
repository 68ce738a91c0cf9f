import { describe, expect, it } from "vitest";
import { contributionsOf, gainMap } from "../../../core/design/contributions.ts";
import { informationOf } from "../../../core/design/information.ts";
import { freeSpace } from "../../../core/design/places.ts";
import { predict } from "../../../core/design/predict.ts";
import { jointData, prepare } from "../../../core/design/prepare.ts";
import { proposeMarks } from "../../../core/design/propose.ts";
import type { Setup } from "../../../core/design/setup.ts";
import { markCovariance } from "../../../core/design/sightings.ts";
import { MARK_PRINT } from "../../../core/check/uncertainty/budget.ts";
import { FLOOR_PX } from "../../../core/check/layout/markSightings.ts";
import { CUT_TERMS } from "../../../core/check/fit/cutMap.ts";
import { fitJointly } from "../../../core/check/fit/joint.ts";
import { localMap } from "../../../core/marks/localMap.ts";
import { layoutAmbiguities } from "../../../core/job/layout.ts";
import { readJob } from "../../../core/job/read.ts";
import type { Job, Mark } from "../../../core/job/schema.ts";
import { uniform } from "../../support/gaussian.ts";

const dot = (id: string, x: number, y: number): Mark => ({ id, shape: "dot", x, y, diameter: 6 });
const job: Job = {
  format: "kerfmark.job/1", id: "TRAY-7", name: "Shelf tray", sheet: { width: 600, height: 400, thickness: 1.5 }, cutFrom: "print", flip: "x", codes: [],
  marks: [dot("M1", 20, 20), dot("M2", 580, 20), dot("M3", 580, 380), dot("M4", 60, 380), dot("M5", 300, 20), dot("M6", 300, 384)],
  cuts: [{ id: "left", kind: "cut", path: "M 40 40 H 290 V 360 H 40 Z" }, { id: "right", kind: "cut", path: "M 310 40 H 560 V 360 H 310 Z" }], state: "in-sheet", tolerance: { position: 0.5 },
};
const phone: Setup = { kind: "phone", distance: 800 };
const scanner: Setup = { kind: "scanner", dpi: 300 };
const ok = <T extends { ok: boolean }>(result: T): Extract<T, { ok: true }> => {
  if (!result.ok) throw new Error(JSON.stringify(result));
  return result as Extract<T, { ok: true }>;
};

describe("the prediction", () => {
  it("is better from a scanner than from a phone, and from near than from afar", () => {
    const [scan, near, far] = [scanner, phone, { kind: "phone", distance: 1600 } as const].map((s) => ok(predict(job, s)));
    for (const key of ["offset", "rotation", "skew", "scale"] as const) {
      expect(scan[key]).toBeLessThan(near[key]);
      expect(near[key]).toBeLessThan(far[key]);
    }
    expect(scan.worst.U).toBeGreaterThan(0);
    expect(near.map.U).toHaveLength(near.map.columns * near.map.rows);
  });

  it("is not moved by where the sheet's frame lies, nor by the order of marks and cuts", () => {
    const turned: Job = { ...job, marks: [...job.marks].reverse(), cuts: [...job.cuts].reverse() };
    expect(ok(predict(turned, phone)).offset).toBeCloseTo(ok(predict(job, phone)).offset, 9);
  });

  it("gets better with every mark, and says which of them matter", () => {
    const { now, marks } = ok(contributionsOf(job, scanner));
    expect(marks).toHaveLength(6);
    for (const m of marks) expect(m.without).toBeGreaterThanOrEqual(now - 1e-9);
    const four = ok(contributionsOf({ ...job, marks: job.marks.slice(0, 4) }, phone));
    expect(four.marks.map((m) => m.without)).toEqual([null, null, null, null]);
  });

  it("says what cannot be seen or fixed, and how to mend it", () => {
    expect(predict(job, { kind: "phone", distance: 300 })).toMatchObject({ ok: false, hint: expect.stringMatching(/at least \d+ mm/) });
    expect(predict({ ...job, marks: job.marks.slice(0, 2) }, phone)).toMatchObject({ ok: false, hint: expect.stringContaining("at least 4 marks") });
    expect(predict({ ...job, marks: [dot("A", 10, 10), dot("B", 200, 10), dot("C", 300, 10), dot("D", 590, 10)] }, scanner)).toMatchObject({ ok: false });
    const square = [dot("M1", 20, 20), dot("M2", 580, 20), dot("M3", 580, 380), dot("M4", 20, 380)];
    expect(ok(predict({ ...job, marks: square }, phone)).ambiguities.map((a) => a.kind)).toContain("turn");
  });
});

describe("the information of single marks", () => {
  // In a photo marks are weighed by their covariance in the sheet's middle, scaled to their place; its fit holds a board that is not flat, too.
  it.each([["scanner", scanner, "affine", 1e-9], ["phone", phone, "projective", 0.01]] as const)("%s: is that of the joint fit: a rank-two update gives what fitting anew gives", (_, setup, view, within) => {
    const prepared = ok(prepare(job, setup));
    expect(prepared.nuisances.length > 0).toBe(view === "projective");
    const model = { view, cut: "affine" } as const;
    const information = informationOf(prepared, model);
    const matrix = information.base.slice();
    for (const m of prepared.marks.slice(0, 5)) information.add(matrix, information.rowsOf(m.print, job.marks[m.mark]) ?? new Float64Array());
    const last = prepared.marks[5];
    const updated = information.worstWith(information.invert(matrix) ?? new Float64Array(), information.rowsOf(last.print, job.marks[5]) ?? new Float64Array());
    const fit = fitJointly(jointData(prepared, prepared.marks), model, prepared.terms, new Float64Array(CUT_TERMS.affine));
    const anew = information.worst(fit?.covariance ?? new Float64Array());
    expect(Math.abs(updated / anew - 1)).toBeLessThan(within);
  });

  it("tells what one more mark brings as fitting with it does", () => {
    const mark = dot("M9", 300, 200);
    const gain = ok(gainMap(job, scanner, mark));
    const withMark = { ...job, marks: [...job.marks, { ...mark, x: gain.width * 0.5, y: gain.height * 0.5 }] };
    expect(gain.now).toBeCloseTo(ok(predict(job, scanner)).worst.U, 4);
    expect(gain.U[0]).toBeCloseTo(ok(predict(withMark, scanner)).worst.U, 3);
  });

  it("agrees with the Cramer-Rao bound of a blurred edge: (n/C)^2 2 sqrt(pi) s per px of outline", () => {
    const perMm = 40 / 6;
    const map = { toPicture: (p: { x: number; y: number }) => ({ x: p.x * perMm, y: -p.y * perMm }), toPrint: (q: { x: number; y: number }) => ({ x: q.x / perMm, y: -q.y / perMm }) };
    const local = localMap(map, { x: 0, y: 0 }, 3);
    const covariance = local && markCovariance(dot("M", 0, 0), local, { blur: 1, noise: 0.02 * 0.6, contrast: 0.6 });
    // 40 px across: information along an axis is half of the outline's; the floor and the print are in the covariance too.
    const bound = (0.02 ** 2 * 2 * Math.sqrt(Math.PI) * 1) / ((Math.PI * 40) / 2);
    const rest = FLOOR_PX ** 2 + (MARK_PRINT * perMm) ** 2;
    expect(Math.sqrt((covariance?.xx ?? 0) - rest) / Math.sqrt(bound)).toBeGreaterThan(0.97);
    expect(Math.sqrt((covariance?.xx ?? 0) - rest) / Math.sqrt(bound)).toBeLessThan(1.3);
  });
});

describe("proposed marks", () => {
  it.each([["phone", phone], ["scanner", scanner]] as const)("%s: stand clear, can be told apart, and are as good as the best of random layouts", (_, setup) => {
    const proposal = ok(proposeMarks({ ...job, marks: [] }, setup, { count: 6 }));
    const whole = { ...job, marks: [...proposal.marks] };
    expect(readJob(whole).ok).toBe(true);
    expect(layoutAmbiguities(whole)).toEqual([]);
    const isFree = freeSpace(job, { radius: 5, fromEdge: 9 });
    for (const m of proposal.marks) expect(isFree(m)).toBe(true);
    const random = uniform(5);
    let best = Infinity;
    for (let i = 0; i < 40; i++) {
      const marks: Mark[] = [];
      while (marks.length < 6) {
        const p = { x: 600 * random(), y: 400 * random() };
        if (isFree(p)) marks.push(dot(`M${marks.length}`, p.x, p.y));
      }
      const trial = predict({ ...job, marks }, setup);
      if (trial.ok) best = Math.min(best, trial.worst.U);
    }
    expect(proposal.prediction.worst.U).toBeLessThan(1.1 * best);
  });

  it("keep what is there, keep out of artwork, and say where there is no room", () => {
    const kept = ok(proposeMarks(job, phone, { count: 2, keep: true, avoid: [[0, 0, 600, 30]] }));
    expect(kept.marks.slice(0, 6)).toEqual(job.marks);
    for (const m of kept.marks.slice(6)) expect(m.y).toBeGreaterThan(35);
    expect(kept.prediction.worst.U).toBeLessThanOrEqual((kept.before ?? 0) + 1e-9);
    expect(proposeMarks(job, phone, { count: 6, avoid: [[0, 0, 600, 400]] })).toMatchObject({ ok: false, reason: expect.stringContaining("no room") });
  });
});
