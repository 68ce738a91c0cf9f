import fc from "fast-check";
import { expect, test } from "vitest";
import { derivative, exact, forward, inverse, type LayerMap } from "../../../core/sample/layerMap.ts";
import type { Tolerance } from "../../../core/job/schema.ts";
import { sheetOfRun } from "../../../core/sample/run.ts";
import { trialOf } from "../../../core/sample/scenarios.ts";
import { cutToPrint, truthOf } from "../../../core/sample/truth.ts";

const size = (limit: number) => fc.double({ min: -limit, max: limit, noNaN: true });
const layer: fc.Arbitrary<LayerMap> = fc.record({
  centre: fc.constant({ x: 300, y: 200 }), offset: fc.record({ x: size(2), y: size(2) }), rotation: size(5), skew: size(3),
  scale: fc.record({ x: size(5), y: size(5) }), taper: fc.record({ x: size(1e-6), y: size(1e-6) }), bow: fc.record({ x: size(2e-6), y: size(2e-6) }),
});
const spot = fc.record({ x: fc.double({ min: 0, max: 600, noNaN: true }), y: fc.double({ min: 0, max: 400, noNaN: true }) });

test("a layer's inverse undoes it, and its derivative is that of finite differences", () => {
  fc.assert(fc.property(layer, spot, (map, p) => {
    const board = forward(map, p.x, p.y);
    const back = inverse(map, board.x, board.y);
    expect(Math.hypot(back.x - p.x, back.y - p.y)).toBeLessThan(1e-9);
    const h = 1e-3;
    const [a, b, c, d] = derivative(map, p.x, p.y);
    const [e, w, n, s] = [forward(map, p.x + h, p.y), forward(map, p.x - h, p.y), forward(map, p.x, p.y + h), forward(map, p.x, p.y - h)];
    for (const [got, want] of [[a, e.x - w.x], [c, e.y - w.y], [b, n.x - s.x], [d, n.y - s.y]]) expect(got).toBeCloseTo(want / (2 * h), 8);
  }));
});

test("offset, rotation, skew and scale are those of T's finite differences at the datum", () => {
  const { scene } = trialOf("photo", 0, 5);
  fc.assert(fc.property(layer, layer, (print, cut) => {
    const bent = { ...scene, print, cut };
    const datum = { x: scene.job.sheet.width / 2, y: scene.job.sheet.height / 2 };
    const h = 1e-2;
    const difference = (dx: number, dy: number) => {
      const [p, q] = [cutToPrint(bent, datum.x + dx, datum.y + dy), cutToPrint(bent, datum.x - dx, datum.y - dy)];
      return { x: (p.x - q.x) / (2 * h), y: (p.y - q.y) / (2 * h) };
    };
    const [ex, ey] = [difference(h, 0), difference(0, h)];
    const truth = truthOf(bent);
    expect(truth.rotation).toBeCloseTo(1000 * Math.atan2(ex.y, ex.x), 5);
    expect(truth.scale.x).toBeCloseTo(1000 * (Math.hypot(ex.x, ex.y) - 1), 5);
    expect(truth.scale.y).toBeCloseTo(1000 * (Math.hypot(ey.x, ey.y) - 1), 5);
    expect(truth.skew).toBeCloseTo(1000 * (Math.atan2(ex.y, ex.x) + Math.PI / 2 - Math.atan2(ey.y, ey.x)), 5);
    const at = cutToPrint(bent, datum.x, datum.y);
    expect(truth.offset.x).toBeCloseTo(at.x - datum.x, 9);
  }), { numRuns: 8 });
});

test("signs: a cut turned counter-clockwise and moved right reads so; a stretched print makes the cut read short", () => {
  const { scene } = trialOf("photo", 0, 5);
  const centre = { x: scene.job.sheet.width / 2, y: scene.job.sheet.height / 2 };
  const still = exact(centre);
  const moved = truthOf({ ...scene, print: still, cut: { ...still, offset: { x: 0.2, y: -0.1 }, rotation: 0.7, scale: { x: 0.3, y: 0 } } });
  expect(moved.offset.x).toBeCloseTo(0.2, 9);
  expect(moved.offset.y).toBeCloseTo(-0.1, 9);
  expect(moved.rotation).toBeCloseTo(0.7, 6);
  expect(moved.scale.x).toBeCloseTo(0.3, 6);
  const grown = truthOf({ ...scene, cut: still, print: { ...still, scale: { x: 1, y: 0 } } });
  expect(grown.scale.x).toBeCloseTo(1000 * (1 / 1.001 - 1), 6);
});

test("worst is the size of a pure shift where an edge faces it", () => {
  const { scene } = trialOf("photo", 0, 5);
  const still = exact({ x: scene.job.sheet.width / 2, y: scene.job.sheet.height / 2 });
  const truth = truthOf({ ...scene, print: still, cut: { ...still, offset: { x: 0, y: 0.25 } } });
  expect(Math.abs(truth.worst.value)).toBeGreaterThan(0.2499);
  expect(Math.abs(truth.worst.value)).toBeLessThan(0.2501);
});

test("the true verdict goes by every limit that the job gives, and by no other", () => {
  const { scene } = trialOf("photo", 0, 5);
  const still = exact({ x: scene.job.sheet.width / 2, y: scene.job.sheet.height / 2 });
  const verdict = (cut: Partial<LayerMap>, tolerance: Tolerance) => truthOf({ ...scene, job: { ...scene.job, tolerance }, print: still, cut: { ...still, ...cut } });
  const turned = { rotation: 0.9 };
  const far = { position: 5, offset: 5, rotation: 5, skew: 5, scale: 5, crease: 5 };
  expect(verdict(turned, far).verdict).toBe("in");
  for (const [what, cut] of [["rotation", turned], ["offset", { offset: { x: 0.3, y: 0.4 } }], ["skew", { skew: -0.9 }], ["scale", { scale: { x: 0, y: -0.9 } }], ["crease", { offset: { x: 0, y: 0.5 } }], ["position", { offset: { x: 0.5, y: 0 } }]] as const) {
    const truth = verdict(cut, { ...far, [what]: 0.45 });
    expect(truth.verdict).toBe("out");
    expect(truth.judged.filter((j) => j.verdict === "out").map((j) => j.what)).toEqual([what]);
  }
  expect(verdict(turned, { position: 5 }).judged.map((j) => j.what)).toEqual(["position"]);
});

test("a run's true offsets scatter about its drift by what was asked for", () => {
  const wish = { sheets: 200, drift: { x: 0.3, y: -0.1, rotation: 0 }, scatter: 0.03, seed: 3 };
  const left = Array.from({ length: 24 }, (_, i) => truthOf(sheetOfRun(wish, 1 + 8 * i)).offset.x - 0.024 * i);
  const mean = left.reduce((a, b) => a + b, 0) / left.length;
  const spread = Math.sqrt(left.reduce((a, b) => a + (b - mean) ** 2, 0) / (left.length - 1));
  expect(Math.abs(mean)).toBeLessThan(4 * 0.03 / Math.sqrt(left.length));
  expect(spread).toBeGreaterThan(0.015);
  expect(spread).toBeLessThan(0.047);
});
