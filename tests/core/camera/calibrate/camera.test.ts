import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { calibrateCamera } from "../../../../core/camera/calibrate/camera.ts";
import type { TargetPicture } from "../../../../core/camera/calibrate/camera.ts";
import { lensAt, observations, pack, predict } from "../../../../core/camera/calibrate/model.ts";
import { rotationDerivatives, rotationOf, turnOf } from "../../../../core/camera/calibrate/pose.ts";
import { LENS_PARAMETERS } from "../../../../core/camera/lens.ts";
import type { Lens } from "../../../../core/camera/lens.ts";
import { readProfile } from "../../../../core/camera/readProfile.ts";
import { gaussian } from "../../../support/gaussian.ts";

const truth: Lens = { fx: 3100, fy: 3095, cx: 2015, cy: 1490, k1: -0.18, k2: 0.06, p1: 6e-4, p2: -4e-4, k3: 0 };
const given = { name: "bench camera", date: "2026-11-25", target: "grid" };

interface Set {
  readonly lens?: Lens;
  readonly noise?: number;
  readonly seed?: number;
  readonly tilts?: readonly (readonly [number, number])[];
  readonly reach?: number;
  readonly focus?: (i: number) => number;
}

const ROUND: readonly (readonly [number, number])[] = [
  [0, 0], [0.5, 0], [-0.5, 0], [0, 0.5], [0, -0.5], [0.35, 0.35], [-0.35, 0.35], [0.35, -0.35], [-0.35, -0.35], [0.1, 0.6],
];

/** Pictures of a 21 x 15 grid of 20 mm, seen by `lens` from about 500 mm; the grid overfills the picture and is cropped by it. */
function pictures({ lens = truth, noise = 0.05, seed = 1, tilts = ROUND, reach = 1, focus = () => 1 }: Set): TargetPicture[] {
  const random = gaussian(seed);
  return tilts.map(([tx, ty], k) => {
    const own = { ...lens, fx: lens.fx * focus(k), fy: lens.fy * focus(k) };
    // The target is turned over (y up), tilted about its middle, which is 330 mm away.
    const r = product(product(rotationOf([0, ty, 0]), rotationOf([tx, 0, 0])), product(rotationOf([Math.PI, 0, 0]), rotationOf([0, 0, 0.05 * k])));
    const shift = [-200 * r[0] - 140 * r[1], -200 * r[3] - 140 * r[4], 330 - 200 * r[6] - 140 * r[7]] as [number, number, number];
    const pose = { turn: turnOf(r), shift };
    const points = Array.from({ length: 315 }, (_, i) => ({ x: 20 * (i % 21), y: 20 * Math.floor(i / 21) })).flatMap(({ x, y }) => {
      const q = predict(own, pose, x, y);
      const inside = Math.abs(q.u - 2000) < 1990 * reach && Math.abs(q.v - 1500) < 1490 * reach;
      return inside ? [{ x, y, u: q.u + noise * random(), v: q.v + noise * random() }] : [];
    });
    return { name: `view-${k + 1}.jpg`, width: 4000, height: 3000, points };
  });
}

function product(p: readonly number[], q: readonly number[]): number[] {
  return Array.from({ length: 9 }, (_, k) => [0, 1, 2].reduce((s, j) => s + p[3 * Math.floor(k / 3) + j] * q[3 * j + (k % 3)], 0));
}

function calibrated(set: Set) {
  const found = calibrateCamera(pictures(set), given);
  if (!found.ok) throw new Error(found.reason);
  return found;
}

const codes = (set: Set) => calibrated(set).profile.verdict.findings.map((f) => f.code);

describe("pose and model derivatives", () => {
  const angle = fc.double({ min: -2.5, max: 2.5, noNaN: true });
  it("a rotation vector comes back from its matrix", () => {
    fc.assert(fc.property(angle, angle, angle, (a, b, c) => {
      const r = rotationOf([a, b, c]);
      const again = rotationOf(turnOf(r));
      r.forEach((v, i) => expect(Math.abs(v - again[i])).toBeLessThan(1e-12));
    }));
  });
  it("rotation derivatives are those of small steps, also next to no turn", () => {
    fc.assert(fc.property(angle, angle, angle, fc.constantFrom(1, 1e-3, 1e-6, 0), (a, b, c, size) => {
      const v = [a * size, b * size, c * size];
      rotationDerivatives(v, rotationOf(v)).forEach((d, i) => {
        const h = 1e-6;
        const plus = rotationOf(v.map((t, k) => (k === i ? t + h : t)));
        const minus = rotationOf(v.map((t, k) => (k === i ? t - h : t)));
        d.forEach((x, k) => expect(Math.abs(x - (plus[k] - minus[k]) / (2 * h))).toBeLessThan(1e-6));
      });
    }));
  });
  it("every derivative of the model is that of small steps", () => {
    const layout = { terms: LENS_PARAMETERS, views: 2 };
    const lens = { ...truth, k3: 0.01 };
    const views = pictures({ tilts: ROUND.slice(1, 3), noise: 0 }).map((p) => p.points.slice(0, 40));
    const poses = [[Math.PI + 0.4, 0.1, 0.2], [Math.PI - 0.4, -0.2, 0]].map((turn) => ({ turn: turnOf(rotationOf(turn)), shift: [-180, 120, 500] as [number, number, number] }));
    const at = pack(layout, lens, poses);
    expect(lensAt(layout, truth, at)).toEqual(lens);
    const evaluate = observations(layout, lens, views);
    const residuals = (p: Float64Array) => {
      const out: number[] = [];
      evaluate(p, (_, r) => out.push(r));
      return out;
    };
    const rows: number[][] = [];
    evaluate(at, (row) => rows.push([...row]));
    at.forEach((value, i) => {
      const h = 1e-6 * Math.max(1, Math.abs(value));
      const plus = residuals(at.map((v, k) => (k === i ? v + h : v)));
      const minus = residuals(at.map((v, k) => (k === i ? v - h : v)));
      rows.forEach((row, k) => {
        const numeric = (minus[k] - plus[k]) / (2 * h);
        expect(Math.abs(row[i] - numeric)).toBeLessThan(2e-4 + 2e-6 * Math.abs(numeric));
      });
    });
  });
});

describe("calibrating a camera", () => {
  it("finds the lens within its uncertainty, with the terms that it has", () => {
    const found = calibrated({});
    const { lens, covariance, estimated, rms, verdict } = found.profile;
    expect(estimated).toEqual(["fx", "fy", "cx", "cy", "k1", "k2", "p1", "p2"]);
    LENS_PARAMETERS.slice(0, 8).forEach((name, i) => {
      expect(Math.abs(lens[name] - truth[name])).toBeLessThan(4 * Math.sqrt(covariance[i][i]));
    });
    expect(rms).toBeCloseTo(0.05 * Math.SQRT2, 2);
    expect(verdict).toEqual({ grade: "good", findings: [] });
  });
  it("does not ask for lens terms that the pictures do not show", () => {
    expect(calibrated({ lens: { ...truth, k1: 0, k2: 0, p1: 0, p2: 0 } }).profile.estimated).toEqual(["fx", "fy", "cx", "cy"]);
    expect(calibrated({ lens: { ...truth, k2: 0, p1: 0, p2: 0 } }).profile.estimated).toEqual(["fx", "fy", "cx", "cy", "k1"]);
  });
  it("its covariance is what repeated noise shows", () => {
    let sum = 0;
    const runs = 20;
    for (let seed = 1; seed <= runs; seed++) {
      const { lens, covariance } = calibrated({ seed: 100 + seed }).profile;
      [0, 2, 3, 4].forEach((i) => (sum += (lens[LENS_PARAMETERS[i]] - truth[LENS_PARAMETERS[i]]) ** 2 / covariance[i][i]));
    }
    // 80 squares of about standard normal deviates: 1 +- 0.16; four of these.
    expect(Math.abs(sum / (4 * runs) - 1)).toBeLessThan(0.64);
  });
  it("leaves blunders out and says how many", () => {
    const set = pictures({});
    const spoilt = set.map((p, k) => (k > 2 ? p : { ...p, points: p.points.map((q, i) => (i === 40 ? { ...q, u: q.u + 15 } : q)) }));
    const found = calibrateCamera(spoilt, given);
    expect(found).toMatchObject({ ok: true, dropped: 3 });
  });
  it("takes upright pictures together with lying ones", () => {
    const mixed = pictures({}).map((p, k): TargetPicture => (k % 2 ? p : {
      ...p, width: 3000, height: 4000, exif: { orientation: 8 }, points: p.points.map((q) => ({ ...q, u: q.v, v: 3999 - q.u })),
    }));
    const found = calibrateCamera(mixed, given);
    if (!found.ok) throw new Error(found.reason);
    expect(found.profile.picture).toEqual({ width: 4000, height: 3000 });
    expect(Math.abs(found.profile.lens.cx - truth.cx)).toBeLessThan(1);
  });
  it("writes a profile that is read again", () => {
    const { profile } = calibrated({});
    expect(readProfile(JSON.stringify(profile))).toEqual({ ok: true, profile });
  });
});

describe("the verdict on the set", () => {
  it.each([
    ["few pictures", { tilts: ROUND.slice(0, 5) }, "few-pictures"],
    ["all from one side", { tilts: Array.from({ length: 8 }, (_, i) => [0.4 + 0.02 * i, 0] as const) }, "few-tilts"],
    ["corners left out", { reach: 0.6 }, "corners-not-covered"],
    ["focus moved by 1 % in one picture", { focus: (i: number) => (i === 4 ? 1.01 : 1) }, "moved-focus"],
  ] as const)("%s", (_, set, code) => {
    expect(codes(set)).toContain(code);
  });
  it("needs two pictures and says so", () => {
    expect(calibrateCamera(pictures({ tilts: [[0.3, 0]] }), given)).toMatchObject({ ok: false, reason: expect.stringContaining("at least 2") });
  });
  it("names a picture of another size", () => {
    const set = pictures({});
    const found = calibrateCamera([...set, { ...set[0], name: "small.jpg", width: 2000, height: 1500 }], given);
    expect(found).toMatchObject({ ok: true, profile: { verdict: { findings: [{ code: "mixed-pictures", message: expect.stringContaining("small.jpg") }] } } });
  });
});
