import { describe, expect, it } from "vitest";
import { placeEdge } from "../../../../core/cuts/profile/edgeProfile.ts";
import { integral } from "../../../../core/image/normal.ts";
import { randomOf } from "../../../../core/sample/random.ts";

interface Edge {
  readonly at: number;
  readonly face: number;
  readonly ground: number;
  readonly reach: number;
  readonly share: number;
}

/** The share of the light that a shade keeps back at a distance beyond the edge, mm. */
type Shade = (edge: Edge, t: number) => number;
const fading: Shade = ({ share, reach }, t) => share * Math.exp(-0.5 * (t / reach) ** 2);
/** Of a sky alike all over, a wall as high as the reach hides so much of what comes to the table beside it (half of the cosine of the angle under which its top is seen; geometry). */
const besideWall: Shade = ({ share, reach }, t) => share * (1 - t / Math.hypot(t, reach));

/** The light across an edge in steps of 5 micrometres, the ground darkened towards the edge's foot, blurred by summing it under a Gaussian; from 0 (face) to 1 (ground). */
function profileOf(edge: Edge, blur: number, step: number, noise: () => number, shade = fading): { profile: Float64Array; beyond: number } {
  const fine = 0.005;
  const light = (t: number): number => (t < 0 ? edge.face : edge.ground * (1 - shade(edge, t)));
  const half = Math.floor((0.7 + 2 * blur) / step);
  const values = Array.from({ length: 2 * half + 1 }, (_, i) => {
    let sum = 0;
    let weights = 0;
    for (let k = Math.ceil(-4 * blur / fine); k <= (4 * blur) / fine; k++) {
      const w = Math.exp(-0.5 * ((k * fine) / blur) ** 2);
      sum += w * light((i - half) * step - edge.at + k * fine);
      weights += w;
    }
    return sum / weights;
  });
  const height = values[values.length - 1] - values[0];
  return { profile: Float64Array.from(values, (v) => (v - values[0]) / height + noise()), beyond: Math.abs(values[values.length - 1] / height) };
}

/** Where the profile passes the middle of the step. */
function halfway(profile: Float64Array, step: number): number {
  const k = profile.findIndex((v, i) => i > 0 && v >= 0.5 && profile[i - 1] < 0.5);
  return (k - 1 + (0.5 - profile[k - 1]) / (profile[k] - profile[k - 1]) - (profile.length >> 1)) * step;
}

describe("placing an edge with a shade at its foot", () => {
  it.each([0.1, 0.25])("holds the truth within U in 90 % of edges at least, at a blur of %d mm, where halfway up the step does not", (blur) => {
    const random = randomOf(3);
    const step = Math.max(0.05, blur / 2);
    const n = 120;
    let held = 0;
    let heldHalfway = 0;
    let error = 0;
    let errorHalfway = 0;
    for (let i = 0; i < n; i++) {
      const edge: Edge = { at: random.between(-0.05, 0.05), face: random.between(0.05, 0.3), ground: random.between(0.4, 0.8), reach: random.between(0.15, 0.7), share: random.between(0.05, 0.25) };
      const { profile, beyond } = profileOf(edge, blur, step, () => 0.003 * random.normal());
      const place = placeEdge(profile, step, 0.006, blur, beyond);
      expect(place).not.toBeNull();
      if (!place) return;
      const [own, middle] = [Math.abs(place.shift - edge.at), Math.abs(halfway(profile, step) - edge.at)];
      if (own < 2 * place.sigma) held++;
      if (middle < 2 * place.sigma) heldHalfway++;
      error += own / n;
      errorHalfway += middle / n;
    }
    console.log(`blur ${blur} mm: held ${((100 * held) / n).toFixed(1)} %, halfway ${((100 * heldHalfway) / n).toFixed(1)} %; mean error ${error.toFixed(4)} mm, halfway ${errorHalfway.toFixed(4)} mm`);
    expect(held / n).toBeGreaterThan(0.9);
    expect(heldHalfway / n).toBeLessThan(0.8);
    expect(error).toBeLessThan(0.7 * errorHalfway);
  });

  it("takes out what a wall of 1 to 4 mm keeps from the table, whose light goes on rising beyond what is looked at", () => {
    const random = randomOf(5);
    const [blur, n] = [0.4, 60];
    const step = blur / 2;
    let own = 0;
    let middle = 0;
    for (let i = 0; i < n; i++) {
      const edge: Edge = { at: random.between(-0.05, 0.05), face: random.between(0.02, 0.1), ground: random.between(0.4, 0.8), reach: random.between(1, 4), share: random.between(0.1, 0.5) };
      const { profile, beyond } = profileOf(edge, blur, step, () => 0.003 * random.normal(), besideWall);
      const place = placeEdge(profile, step, 0.006, blur, beyond);
      own += Math.abs((place?.shift ?? 1) - edge.at) / n;
      middle += Math.abs(halfway(profile, step) - edge.at) / n;
    }
    console.log(`beside a wall: mean error ${own.toFixed(4)} mm, halfway ${middle.toFixed(4)} mm`);
    expect(own).toBeLessThan(0.25 * middle);
  });

  it("leaves little doubt over dark ground, which has no light to lose", () => {
    const dark = profileOf({ at: 0, face: 0.6, ground: 0.02, reach: 0.3, share: 0.2 }, 0.2, 0.1, () => 0);
    const light = profileOf({ at: 0, face: 0.1, ground: 0.7, reach: 0.3, share: 0.2 }, 0.2, 0.1, () => 0);
    const [a, b] = [dark, light].map(({ profile, beyond }) => placeEdge(profile, 0.1, 0.006, 0.2, beyond));
    expect(a?.sigma).toBeLessThan(0.5 * (b?.sigma ?? 0));
    expect(Math.abs(a?.shift ?? 1)).toBeLessThan(2 * (a?.sigma ?? 0));
  });

  it("is not drawn by white board that shows between the print's edge and the board's", () => {
    const random = randomOf(7);
    for (const white of [0.25, 0.4, 0.55]) {
      const [blur, step] = [0.11, 0.05];
      const profile = Float64Array.from({ length: 2 * Math.floor((0.7 + 2 * blur) / step) + 1 }, (_, i) => {
        const t = (i - Math.floor((0.7 + 2 * blur) / step)) * step;
        // From a printed face (0) up by the white board, down to what lies beyond (1).
        return 1.4 * integral((t - 0.03) / blur) - 0.4 * integral((t - 0.03 + white) / blur) + 0.003 * random.normal();
      });
      const place = placeEdge(profile, step, 0.006, blur, 1.2, 2.3);
      expect(Math.abs((place?.shift ?? 1) - 0.03)).toBeLessThan(Math.max(0.01, 2 * (place?.sigma ?? 0)));
      expect(place?.sigma).toBeLessThan(0.02);
    }
  });
});
