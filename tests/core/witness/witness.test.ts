import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { samplerOf } from "../../../core/image/sampler.ts";
import type { Picture } from "../../../core/image/picture.ts";
import { readJob } from "../../../core/job/read.ts";
import type { Job } from "../../../core/job/schema.ts";
import { freeSpace } from "../../../core/design/places.ts";
import { proposeWitnesses } from "../../../core/design/witnesses.ts";
import { eyeOf } from "../../../core/witness/eye.ts";
import { readWitness } from "../../../core/witness/read.ts";
import { witnessPairs } from "../../../core/witness/pairs.ts";
import { gaussian } from "../../support/gaussian.ts";

const job: Job = {
  format: "kerfmark.job/1", id: "TRAY-7", name: "Shelf tray", sheet: { width: 400, height: 300 }, cutFrom: "print", flip: "x", codes: [],
  marks: [[20, 20], [380, 20], [380, 280], [40, 280]].map(([x, y], i) => ({ id: `M${i + 1}`, shape: "dot" as const, x, y, diameter: 6 })),
  cuts: [{ id: "blank", kind: "cut", path: "M 80 60 H 320 V 240 H 80 Z" }], state: "in-sheet", tolerance: { position: 0.5 },
};

/** A ring with a hole beside its middle, drawn by counting sub-pixels: no code of the measurement. 8 x 8 to a pixel, linear samples. */
function draw(perMm: number, ring: { outer: number; inner: number }, hole: { x: number; y: number; diameter: number; light: number }, noise: (n: number) => number): Picture {
  const size = Math.ceil((ring.outer + 4) * perMm);
  const data = new Uint16Array(size * size);
  for (let j = 0; j < size; j++) for (let i = 0; i < size; i++) {
    let sum = 0;
    for (let b = 0; b < 8; b++) for (let a = 0; a < 8; a++) {
      const x = (i - 0.5 + (a + 0.5) / 8 - (size - 1) / 2) / perMm;
      const y = -(j - 0.5 + (b + 0.5) / 8 - (size - 1) / 2) / perMm;
      const r = Math.hypot(x, y);
      sum += Math.hypot(x - hole.x, y - hole.y) < hole.diameter / 2 ? hole.light : r < ring.outer / 2 && r > ring.inner / 2 ? 0.06 : 0.8;
    }
    data[j * size + i] = Math.max(0, Math.min(65535, Math.round(65535 * (sum / 64 + noise(j * size + i)))));
  }
  return { width: size, height: size, channels: 1, data, transfer: "linear" };
}

describe("a witness", () => {
  const ring = { id: "W1 ring", shape: "ring" as const, x: 100, y: 50, outer: 12, inner: 9 };
  const pair = { ring, hole: { id: "W1 hole", kind: "cut" as const, circle: { x: 100, y: 50, diameter: 5 } } };
  const read = (picture: Picture, perMm: number) => {
    const middle = (picture.width - 1) / 2;
    const map = { toPicture: (p: { x: number; y: number }) => ({ x: middle + (p.x - 100) * perMm, y: middle - (p.y - 50) * perMm }), toPrint: (q: { x: number; y: number }) => ({ x: 100 + (q.x - middle) / perMm, y: 50 - (q.y - middle) / perMm }) };
    return readWitness(samplerOf(picture), pair, map, null, 0.005);
  };

  it("gives where its hole lies in its ring, within U, whatever the background", () => {
    fc.assert(fc.property(fc.integer({ min: -80, max: 80 }), fc.integer({ min: -80, max: 80 }), fc.constantFrom(0.02, 0.15, 0.4), fc.constantFrom(4, 6, 12), fc.integer({ min: 1, max: 1000 }), (u, v, light, perMm, seed) => {
      const random = gaussian(seed);
      const reading = read(draw(perMm, ring, { x: u / 100, y: v / 100, diameter: 5.03, light }, () => 0.004 * random()), perMm);
      if (!reading.ok) throw new Error(reading.reason);
      expect(Math.abs(reading.x - u / 100)).toBeLessThan(0.01);
      expect(Math.abs(reading.y - v / 100)).toBeLessThan(0.01);
      expect(Math.hypot(reading.x - u / 100, reading.y - v / 100)).toBeLessThan(1.5 * reading.U);
    }), { numRuns: 15 });
  });

  it("is not guessed where the slug is still in the hole, or nothing is there", () => {
    const full = draw(8, ring, { x: 0, y: 0, diameter: 5, light: 0.8 }, () => 0);
    expect(read(full, 8)).toMatchObject({ ok: false, reason: expect.stringContaining("slug") });
    const blank: Picture = { ...full, data: new Uint16Array(full.data.length).fill(50_000) };
    expect(read(blank, 8)).toMatchObject({ ok: false });
  });
});

describe("proposed witnesses", () => {
  it("stand in the waste, clear of cuts and marks, and make a valid job of pairs", () => {
    const proposed = proposeWitnesses(job, { count: 5 });
    if (!proposed.ok) throw new Error(proposed.reason);
    const isFree = freeSpace(job, { radius: 6 + 2, fromEdge: 6 });
    for (const mark of proposed.marks) expect(isFree(mark)).toBe(true);
    const whole = { ...job, marks: [...job.marks, ...proposed.marks], cuts: [...job.cuts, ...proposed.cuts] };
    expect(readJob(whole).ok).toBe(true);
    expect(witnessPairs(whole)).toHaveLength(5);
  });

  it("are refused where there is no waste", () => {
    expect(proposeWitnesses({ ...job, state: "stripped" }, { count: 1 })).toMatchObject({ ok: false, reason: expect.stringContaining("waste") });
    expect(proposeWitnesses({ ...job, sheet: { width: 330, height: 250 }, cuts: [{ id: "blank", kind: "cut", path: "M 8 8 H 322 V 242 H 8 Z" }] }, { count: 3 })).toMatchObject({ ok: false });
  });
});

describe("where the camera stands", () => {
  it("is read off a homography: a camera put over a place of the sheet, leaning", () => {
    fc.assert(fc.property(fc.integer({ min: -300, max: 300 }), fc.integer({ min: -300, max: 300 }), fc.integer({ min: 400, max: 1500 }), fc.integer({ min: -30, max: 30 }), fc.constantFrom(1, -1), (x, y, z, lean, hand) => {
      const [c, s] = [Math.cos((lean * Math.PI) / 180), Math.sin((lean * Math.PI) / 180)];
      // Rows: the camera's right, down and away in sheet axes; `hand` mirrors the picture.
      const rows = [[hand * c, 0, hand * s], [0, -1, 0], [s, 0, -c]];
      const t = rows.map((r) => -(r[0] * x + r[1] * y + r[2] * z));
      const k = [[3000, 0, 2000], [0, 3000, 1500], [0, 0, 1]];
      const m = k.flatMap((row) => [0, 1].map((i) => row.reduce((sum, v, j) => sum + v * rows[j][i], 0)).concat(row.reduce((sum, v, j) => sum + v * t[j], 0)));
      const eye = eyeOf(m.map((v) => v / m[8]), 3000, { x: 2000, y: 1500 });
      expect(eye?.x).toBeCloseTo(x, 4);
      expect(eye?.y).toBeCloseTo(y, 4);
      expect(eye?.z).toBeCloseTo(z, 4);
    }));
  });

  it("moves what a hole seen askew shows, and widens U along that direction only", () => {
    const ring = { id: "W1 ring", shape: "ring" as const, x: 100, y: 50, outer: 12, inner: 9 };
    const pair = { ring, hole: { id: "W1 hole", kind: "cut" as const, circle: { x: 100, y: 50, diameter: 5 } } };
    const picture = draw(8, ring, { x: 0.1, y: 0, diameter: 5, light: 0.05 }, () => 0);
    const middle = (picture.width - 1) / 2;
    const map = { toPicture: (p: { x: number; y: number }) => ({ x: middle + (p.x - 100) * 8, y: middle - (p.y - 50) * 8 }), toPrint: (q: { x: number; y: number }) => ({ x: 100 + (q.x - middle) / 8, y: 50 - (q.y - middle) / 8 }) };
    const reading = readWitness(samplerOf(picture), pair, map, { x: 0.4, y: 0 }, 0.005);
    if (!reading.ok) throw new Error(reading.reason);
    expect(reading.x).toBeCloseTo(0.1 - 0.1, 2);
    expect(reading.covariance.xx).toBeGreaterThan(20 * reading.covariance.yy);
    expect(Math.abs(reading.x - 0.1)).toBeLessThan(reading.U);
  });
});
