import { describe, expect, it } from "vitest";
import { deviationsOf } from "../../../../core/check/report/deviations.ts";
import { alikeBiases } from "../../../../core/check/fit/equations.ts";
import type { Solution } from "../../../../core/check/fit/solution.ts";
import { TERM_COUNT } from "../../../../core/check/view/viewModel.ts";
import type { TracedChunk, TracedPath } from "../../../../core/cuts/trace.ts";
import type { Job } from "../../../../core/job/schema.ts";
import type { PlaneMap } from "../../../../core/marks/localMap.ts";
import { gaussian } from "../../../support/gaussian.ts";

const LENGTH = 200;
const CHUNK = 5;
const NOISE = 0.01;
/** The picture plane is the print plane: what is measured across a chunk is its deviation. */
const same: PlaneMap = { toPicture: ({ x, y }) => ({ x, y }), toPrint: ({ x, y }) => ({ x, y }) };

/** Sought 3 mm to either side. */
const SEEING = { seenWith: same, map: same, wall: 0, sought: 3 };

/** All cuts together say that nothing is off, and are sure of it. */
const nothingOff: Solution = {
  model: { view: "affine", cut: "affine" }, view: new Float64Array(TERM_COUNT), cut: new Float64Array(6), edgeBias: alikeBiases(0), nuisance: new Float64Array(0), covariance: new Float64Array(36), free: [], size: 6, cost: 0,
  markResiduals: new Float64Array(0), cutResiduals: new Float64Array(0), markFreedom: 0, rejected: [], freedom: 10, doubtful: false,
  data: { marks: [], cuts: [], frame: { print: { x: 100, y: 50, half: 100 }, picture: { x: 0, y: 0, half: 1 } }, datum: { x: 100, y: 50 }, markScale: 1, cutScale: 1, cutWeights: new Float64Array(0) },
};

/** A straight crease or cut along x that was found `off` mm beside its path. */
function straight(kind: "cut" | "crease", off: number): { job: Job; path: TracedPath } {
  const noise = gaussian(3);
  const chunks = Array.from({ length: LENGTH / CHUNK }, (_, k): TracedChunk => ({
    chunk: { s: (k + 0.5) * CHUNK, length: CHUNK, x: (k + 0.5) * CHUNK, y: 50, nx: 0, ny: 1, tx: 1, ty: 0, curvature: 0, profile: new Float32Array(0), stations: 5, ux: 0, uy: 1, scale: 1 },
    found: true, t: off + NOISE * noise(), sigma: NOISE, bias: 0, significance: 20, share: -0.3,
  }));
  const path: TracedPath = { feature: "F", kind, look: kind === "crease" ? "crease" : "line", closed: false, away: 0, length: LENGTH, chunks, width: 0.3 };
  const job: Job = {
    format: "kerfmark.job/1", id: "J", name: "", cutFrom: "print", flip: "x", codes: [], state: "in-sheet", sheet: { width: 200, height: 100 }, tolerance: { position: 0.5, crease: 0.5 }, marks: [],
    cuts: [{ id: "F", kind, path: `M 0 50 L ${LENGTH} 50` }],
  };
  return { job, path };
}

/** The worst stretch of a cut that leaves its path by up to `most` mm within 60 mm; `hidden`: its middle 20 mm are not seen. */
function worstOfBulge(most: number, hidden: boolean): { value: number; U: number } {
  const { job, path } = straight("cut", 0);
  const chunks = path.chunks.map((c): TracedChunk => {
    const along = Math.abs(c.chunk.s - LENGTH / 2);
    const bulge = along < 30 ? most * Math.cos((Math.PI / 2) * (along / 30)) ** 2 : 0;
    return { ...c, t: c.t + bulge, found: !(hidden && along < 10) };
  });
  const { stretches } = deviationsOf(job, [{ ...path, chunks }], nothingOff, SEEING);
  return stretches.reduce((a, b) => (Math.abs(b.value) > Math.abs(a.value) ? b : a));
}

function settled(kind: "cut" | "crease", off: number): { value: number; U: number } {
  const { job, path } = straight(kind, off);
  const { features: [feature] } = deviationsOf(job, [path], nothingOff, SEEING);
  return { value: feature.max, U: feature.U };
}

describe("a feature that departs from what all cuts agree on", () => {
  it("is found off by as much, a cut beyond doubt", () => {
    for (const off of [0.15, -0.4]) {
      const { value, U } = settled("cut", off);
      expect(Math.abs(value - off)).toBeLessThan(0.03);
      expect(U).toBeLessThan(0.06);
    }
  });

  it("on a short cut that is mostly out of its path is found off where the knife is known to have left it", () => {
    const { job, path } = straight("cut", 0);
    const bulge = (s: number): number => (s > 30 && s < 60 ? 0.5 : 0);
    const chunks = path.chunks.slice(0, 18).map((c): TracedChunk => ({ ...c, t: c.t + bulge(c.chunk.s), left: bulge(c.chunk.s) > 0 }));
    const short = { ...job, cuts: [{ id: "F", kind: "cut" as const, path: "M 0 50 L 90 50" }] };
    const { features: [{ max, U }] } = deviationsOf(short, [{ ...path, length: 90, chunks }], nothingOff, SEEING);
    expect(Math.abs(max - 0.5)).toBeLessThan(0.03);
    expect(U).toBeLessThan(0.06);
  });

  it("for two stretches beside an edge of the print that leaves them in doubt counts as its pixels tell where the knife has left its path, not where it may not have", () => {
    const { job, path } = straight("cut", 0);
    const off = (s: number): boolean => s > 90 && s < 110;
    const worst = (left: boolean): { value: number; U: number } => {
      const chunks = path.chunks.map((c): TracedChunk => (off(c.chunk.s) ? { ...c, t: 0.26, sigma: 0.13, left } : c));
      return deviationsOf(job, [{ ...path, chunks }], nothingOff, SEEING).stretches.reduce((a, b) => (Math.abs(b.value) > Math.abs(a.value) ? b : a));
    };
    expect(worst(true).value).toBeGreaterThan(0.18);
    expect(worst(true).value + worst(true).U).toBeGreaterThan(0.26);
    expect(worst(false).value).toBeLessThan(0.1);
  });

  it("that is not far enough off to be believed, three stretches long, is held by U all the same", () => {
    const { job, path } = straight("cut", 0);
    const noise = gaussian(8);
    const bulge = (s: number): number => (s > 90 && s < 120 ? 0.15 : 0);
    const chunks = path.chunks.map((c): TracedChunk => ({ ...c, t: 0.06 * noise() + bulge(c.chunk.s), sigma: 0.06 }));
    const { stretches } = deviationsOf(job, [{ ...path, chunks }], nothingOff, SEEING);
    const [inside, outside] = [true, false].map((off) => stretches.filter(({ x }) => x > 95 && x < 115 === off));
    for (const { value, U } of inside) expect([value < 0.12, value + U > 0.12]).toEqual([true, true]);
    expect(Math.max(...outside.map(({ U }) => U))).toBeLessThan(Math.min(...inside.map(({ U }) => U)));
  });

  it("by stretches whose own pixels hardly tell, beside the print's edge, is not believed", () => {
    const { job, path } = straight("cut", 0);
    const beside = (s: number): boolean => s > 60 && s < 110;
    const found = (sigma: number) => {
      const chunks = path.chunks.map((c): TracedChunk => (beside(c.chunk.s) ? { ...c, t: c.t + 0.2, sigma } : c));
      return deviationsOf(job, [{ ...path, chunks }], nothingOff, SEEING).features[0];
    };
    expect(found(NOISE).max).toBeGreaterThan(0.15);
    expect(Math.abs(found(0.2).max)).toBeLessThan(0.1);
  });

  it("and is a crease: its U reaches to where the cuts have it, and not much beyond", () => {
    for (const off of [0, 0.1, -0.25, 0.8]) {
      const [crease, cut] = [settled("crease", off), settled("cut", off)];
      expect(crease.value).toBe(cut.value);
      expect(crease.U).toBeGreaterThanOrEqual(Math.abs(crease.value));
      expect(crease.U).toBeLessThanOrEqual(Math.hypot(cut.U, Math.abs(crease.value)) + 1e-9);
    }
  });

  it("says the worst of a bulge, and doubts what it sees of one whose middle it does not see", () => {
    const [seen, hidden] = [worstOfBulge(0.4, false), worstOfBulge(0.4, true)];
    expect(Math.abs(seen.value - 0.38)).toBeLessThan(0.03);
    expect(seen.U).toBeLessThan(0.05);
    expect(hidden.value).toBeLessThan(0.3);
    expect(Math.abs(hidden.value - 0.38)).toBeLessThan(hidden.U);
  });

  it("and was not found is said to lie where the others have it, with a U as far as it was sought: no reader can take it for a good one", () => {
    const { job, path } = straight("cut", 0);
    const all = { ...nothingOff, cut: Float64Array.of(0, 0.4, 0, 0, 0, 0) };
    const hidden = { ...path, chunks: path.chunks.map((c): TracedChunk => ({ ...c, found: false })) };
    const { features: [feature], stretches } = deviationsOf(job, [hidden], all, SEEING);
    // The worst place of the sheet may be there all the same.
    expect(stretches.every((s) => !s.seen && Math.abs(s.value - 0.4) < 1e-9 && s.u > 0)).toBe(true);
    expect(stretches.length).toBeGreaterThan(0);
    expect(feature).toMatchObject({ id: "F", coverage: 0 });
    for (const value of [feature.mean, feature.max, feature.rms]) expect(value).toBeCloseTo(0.4, 6);
    expect(feature.U).toBeGreaterThan(3 + 0.4);
  });

  it("lies where the others have it along what is hidden of it, and as surely as they tell", () => {
    const { job, path } = straight("cut", 0.4);
    const all = { ...nothingOff, cut: Float64Array.of(0, 0.4, 0, 0, 0, 0) };
    const partly = { ...path, chunks: path.chunks.map((c, k): TracedChunk => (k < path.chunks.length / 3 ? { ...c, found: false } : c)) };
    const { stretches } = deviationsOf(job, [partly], all, SEEING);
    const unseen = stretches.filter((s) => !s.seen);
    expect(unseen.length).toBeGreaterThan(1);
    for (const s of unseen) {
      expect(s.value).toBeCloseTo(0.4, 6);
      expect(s.U).toBeLessThan(0.1);
    }
  });

  it("is none where three stretches in a row lie off on a side that is noisy all along, as artwork beside it makes it", () => {
    const { job, path } = straight("cut", 0);
    const rough = gaussian(9);
    const chunks = path.chunks.map((c): TracedChunk => (c.chunk.s < 110 ? c : { ...c, t: (c.chunk.s > 150 && c.chunk.s < 180 ? 0.16 : 0.05 * rough()) + 0.09 * rough() }));
    const { stretches } = deviationsOf(job, [{ ...path, chunks }], nothingOff, SEEING);
    for (const { value, U } of stretches) expect(Math.abs(value)).toBeLessThan(Math.max(0.1, U));
  });
});
