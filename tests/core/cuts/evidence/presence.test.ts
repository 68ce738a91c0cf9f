import { describe, expect, it } from "vitest";
import { arePlainLines, presenceOf, standsOut, standsOutPlainly, type Presence } from "../../../../core/cuts/evidence/presence.ts";
import type { TracedPath } from "../../../../core/cuts/trace.ts";
import { integral } from "../../../../core/image/normal.ts";
import { gaussian } from "../../../support/gaussian.ts";
import { chunkWith, grid } from "../profile.ts";

const WIDTH = 0.24;

/** What is seen of a sheet of which every chunk has a slit of the given depth and, 1.6 mm beside it, a printed edge, or a line as dark as given. */
function seen(depth: number, { edge = 0, line = 0 }: { edge?: number; line?: number }): Presence {
  const noise = gaussian(9);
  const chunks = Array.from({ length: 80 }, (_, k) => {
    const chunk = chunkWith({ at: 0, width: WIDTH, depth: 0.8 * depth * (1 + 0.2 * noise()), noise: () => 0.01 * noise() }, 5 * k);
    const profile = chunk.profile.map((v, i) => {
      const z = (i * grid.step - grid.reach - 1.6) / WIDTH;
      return v - 0.8 * (edge * integral(z) + line * Math.exp(-0.5 * z * z));
    });
    return { chunk: { ...chunk, profile }, found: true, t: 0, sigma: 0.02, bias: 0, significance: 10, share: -depth };
  });
  const path: TracedPath = { feature: "blank", kind: "cut", look: "line", closed: true, away: 1, length: 400, chunks, width: WIDTH };
  const presence = presenceOf([path], grid, () => 0);
  if (!presence) throw new Error("too few slits");
  return presence;
}

describe("whether slits are told from what lies beside them", () => {
  it("they are where the bleed's edge runs along all of them: it takes nothing from what is a line", () => {
    const presence = seen(0.45, { edge: 0.35 });
    expect(presence.strength).toBeLessThan(1.8 * presence.background);
    expect(standsOut(presence)).toBe(true);
  });

  it("is not asked of the slits of a piece most of whose cuts are seen as edges over a gap", () => {
    const noise = gaussian(10);
    const chunks = Array.from({ length: 40 }, (_, k) => ({ chunk: chunkWith({ at: 0, width: WIDTH, depth: 0.2, noise: () => 0.01 * noise() }, 5 * k), found: true, t: 0, sigma: 0.02, bias: 0, significance: 10, share: -0.3 }));
    const slots: TracedPath = { feature: "slot", kind: "cut", look: "line", closed: false, away: 0, length: 200, chunks, width: WIDTH };
    const edge = (length: number, unexpected: boolean): TracedPath => ({ ...slots, feature: "outline", look: "step", closed: true, away: 1, length, ...(unexpected ? { unexpected } : {}) });
    expect(presenceOf([slots, edge(600, false)], grid, () => 0)).toBeNull();
    expect(presenceOf([slots, edge(150, false)], grid, () => 0)).not.toBeNull();
    expect(presenceOf([slots, edge(600, true)], grid, () => 0)).not.toBeNull();
  });

  it("they are not where a printed line beside them is as dark, nor where there is only the edge", () => {
    expect(standsOut(seen(0.2, { line: 0.3 }))).toBe(false);
    expect(standsOut(seen(0, { edge: 0.35 }))).toBe(false);
  });

  it("they are so plain that no chance reaches it only where they are darker than a search finds artwork to be", () => {
    const [faint, plain] = [seen(0.02, {}), seen(0.2, {})];
    expect([standsOut(faint), standsOutPlainly(faint)]).toEqual([true, false]);
    expect(standsOutPlainly(plain)).toBe(true);
    expect(standsOutPlainly(seen(0.2, { line: 0.1 }))).toBe(false);
  });

  it("they are not plain where an edge was found in their places, be it higher than slits are deep", () => {
    const noise = gaussian(4);
    const path = (depth: number, step: number): TracedPath => {
      const chunks = Array.from({ length: 80 }, (_, k) => ({ chunk: chunkWith({ at: 0, width: WIDTH, depth, step, noise: () => 0.01 * noise() }, 5 * k), found: true, t: 0, sigma: 0.02, bias: 0, significance: 10, share: -0.4 }));
      return { feature: "blank", kind: "cut", look: "line", closed: true, away: 1, length: 400, chunks, width: WIDTH };
    };
    const [slit, edge] = [path(0.3, 0), path(0.1, 0.7)].map((p) => presenceOf([p], grid, () => 0));
    if (!slit || !edge) throw new Error("too few slits");
    expect(edge.strength).toBeGreaterThan(4 * Math.max(edge.background, 14 / 4));
    expect([standsOutPlainly(slit), standsOutPlainly(edge)]).toEqual([true, false]);
  });

  it("on black board they are plain as bright lines, wider at their feet than the profile that is fitted to them; printed lines beside them as bright are no less so", () => {
    const noise = gaussian(11);
    const bright = (beside: number): Presence => {
      const chunks = Array.from({ length: 80 }, (_, k) => {
        const chunk = chunkWith({ at: 0, width: WIDTH, depth: -0.025, ground: 0.02, noise: () => 0.0005 * noise() }, 5 * k);
        const profile = chunk.profile.map((v, i) => {
          const t = i * grid.step - grid.reach;
          return v + 0.005 * Math.exp(-0.5 * (t / 0.6) ** 2) + beside * Math.exp(-0.5 * ((t - 1.6) / WIDTH) ** 2);
        });
        return { chunk: { ...chunk, profile }, found: true, t: 0, sigma: 0.02, bias: 0, significance: 30, share: 1.2 };
      });
      const presence = presenceOf([{ feature: "blank", kind: "cut", look: "line", closed: true, away: 1, length: 400, chunks, width: WIDTH }], grid, () => 0);
      if (!presence) throw new Error("too few slits");
      return presence;
    };
    expect(arePlainLines(bright(0))).toBe(true);
    expect(arePlainLines(bright(0.025))).toBe(false);
  });

  it("they are plain lines, however unlike each other, unless lines beside them are as plain", () => {
    expect(arePlainLines(seen(0.2, { edge: 0.2 }))).toBe(true);
    expect(arePlainLines(seen(0.2, { line: 0.1 }))).toBe(false);
    expect(arePlainLines(seen(0, { edge: 0.35 }))).toBe(false);
  });
});
