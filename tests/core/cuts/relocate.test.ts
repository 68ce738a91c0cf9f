import { describe, expect, it } from "vitest";
import { presenceOf } from "../../../core/cuts/evidence/presence.ts";
import { relocate } from "../../../core/cuts/relocate.ts";
import type { Trace, TracedChunk, TracedPath } from "../../../core/cuts/trace.ts";
import { integral } from "../../../core/image/normal.ts";
import { randomOf } from "../../../core/sample/random.ts";
import { chunkWith, grid, type Across } from "./profile.ts";

const WIDTH = 0.3;

/** A path of chunks, each with what `across` gives for it; found in the place `t` as a search would have. */
function traceOf(count: number, across: (k: number) => Across, t: (k: number) => number, significance = 20): Trace {
  const chunks = Array.from({ length: count }, (_, k): TracedChunk => {
    const chunk = chunkWith(across(k), 5 * k + 2.5);
    return { chunk, found: true, t: t(k), sigma: 0.01, bias: 0, significance, share: -0.25 };
  });
  const path: TracedPath = { feature: "blank", kind: "cut", look: "line", closed: false, away: 0, length: 5 * count, chunks, width: WIDTH };
  return { paths: [path], grid, blur: 0.25, shift: { about: { x: 0, y: 0 }, terms: new Float64Array(6) } };
}

const slit = (at: number, noise?: () => number): Across => ({ at, width: WIDTH, depth: 0.2, ...(noise ? { noise } : {}) });

describe("locating cuts again from where all of them expect each", () => {
  it("goes back to the slit where the search had taken something else beside it", () => {
    const trace = traceOf(12, () => slit(0.1), (k) => (k % 4 === 0 ? 1.4 : 0.1));
    for (const c of relocate(trace, () => 0.05).paths[0].chunks) expect(Math.abs(c.t - 0.1)).toBeLessThan(0.008);
  });

  it("leaves a cut where it is where a run of chunks shows it away from the common map", () => {
    const trace = traceOf(24, (k) => slit(k >= 4 && k < 10 ? 0.9 : 0), (k) => (k >= 4 && k < 10 ? 0.9 : 0));
    const again = relocate(trace, () => 0).paths[0].chunks;
    for (const k of [5, 6, 7, 8]) expect(again[k].t).toBeCloseTo(0.9, 2);
    for (const k of [0, 1, 2, 11]) expect(Math.abs(again[k].t)).toBeLessThan(0.005);
  });

  it("tells where a slit is not in its place though it would show there, not where print as dark as it hides it", () => {
    const across = (k: number): Across => (k < 8 || k >= 16 ? slit(0) : k < 12 ? { ...slit(0), depth: 0 } : { ...slit(0), depth: 0, ground: 0.005 });
    const noise = ((random) => (): number => 0.002 * random.normal())(randomOf(3));
    const trace = traceOf(24, (k) => ({ ...across(k), noise }), () => 0);
    const paths = trace.paths.map((path) => ({ ...path, chunks: path.chunks.map((c, k) => ({ ...c, found: k < 8 || k >= 16 })) }));
    const gone = relocate({ ...trace, paths }, () => 0).paths[0].chunks.flatMap((c, k) => (c.missing ? [k] : []));
    expect(gone).toEqual([8, 9, 10, 11]);
  });

  it("finds a dash that lies beside its place as a whole, and none where print as dark lies beside one", () => {
    const dash = (at: readonly number[]): TracedPath => {
      const [path] = traceOf(6, () => slit(0), () => at[0]).paths;
      return { ...path, length: 6, chunks: path.chunks.map((c) => ({ ...c, chunk: { ...c.chunk, length: 1, profile: c.chunk.profile.map((_, i) => at.reduce((light, t) => light - 0.8 + chunkWith(slit(t)).profile[i], 0.8)) } })) };
    };
    const others = [0, 1, 2, 3].map(() => dash([0]));
    const last = (path: TracedPath) => relocate({ ...traceOf(6, () => slit(0), () => 0), paths: [...others, path] }, () => 0).paths[4].chunks;
    for (const c of last(dash([0.7]))) expect([c.found, c.left, c.t]).toEqual([true, true, expect.closeTo(0.7, 2)]);
    for (const c of last(dash([1.4, 0]))) expect([c.found, c.left === true, c.t]).toEqual([true, false, expect.closeTo(0, 2)]);
    // What is seen of it here and there only is not the dash: it is missing.
    const glimpsed = dash([0.7]);
    for (const c of last({ ...glimpsed, chunks: glimpsed.chunks.map((c, k) => ({ ...c, found: k < 3 })) })) expect([c.found, c.missing]).toEqual([false, true]);
  });

  it("takes an edge where the job has a slit for the artwork's when slits elsewhere say that the cut is not there", () => {
    const edges = (at: number): TracedPath => {
      const [path] = traceOf(12, () => ({ at, width: 0.25, depth: 0, step: 0.4 }), () => at, 60).paths;
      return { ...path, feature: "slot", look: "step", unexpected: true, chunks: path.chunks.map((c) => ({ ...c, share: 0.5 })) };
    };
    const found = (at: number, slits: readonly TracedPath[]): number => {
      const trace = { ...traceOf(12, () => slit(0), () => 0), paths: [...slits, edges(at)] };
      return relocate(trace, () => 0).paths[slits.length].chunks.filter((c) => c.found).length;
    };
    const slits = traceOf(12, () => slit(0), () => 0).paths;
    expect(found(0.05, slits)).toBe(12);
    expect(found(0.25, slits)).toBe(0);
    expect(found(0.8, slits)).toBe(0);
    expect(found(0.25, [])).toBe(12);
  });

  it("follows a knife that leaves its path and comes back within 60 mm, where no chunks lie off alike", () => {
    const bulge = (k: number): number => (k > 6 && k < 19 ? 0.45 * (1 - Math.cos((2 * Math.PI * (k - 6)) / 13)) : 0);
    const narrow = (k: number): Across => ({ at: bulge(k), width: 0.12, depth: 0.4 });
    const wide = traceOf(26, narrow, bulge);
    const trace = { ...wide, paths: wide.paths.map((path) => ({ ...path, width: 0.12, chunks: path.chunks.map((c) => ({ ...c, share: -0.5 })) })) };
    relocate(trace, () => 0).paths[0].chunks.forEach((c, k) => {
      expect(c.found).toBe(true);
      expect(Math.abs(c.t - bulge(k))).toBeLessThan(0.01);
      expect(c.left === true).toBe(bulge(k) > 0.05);
    });
  });

  it("follows one that leaves it and comes back as steeply as one of eight, where nothing of the slit is left in place", () => {
    const bulge = (k: number): number => (k > 6 && k < 11 ? 0.55 : k === 6 ? 0.2 : 0);
    const steep = (inPlace: number): TracedChunk[] => {
      const wide = traceOf(20, (k) => ({ at: bulge(k), width: 0.12, depth: 0.4 }), bulge);
      const there = (t: number): number => inPlace * Math.exp(-0.5 * (t / 0.12) ** 2);
      const trace = { ...wide, paths: wide.paths.map((path) => ({ ...path, width: 0.12, chunks: path.chunks.map((c, k) => ({ ...c, share: -0.5, chunk: { ...c.chunk, profile: bulge(k) > 0 ? c.chunk.profile.map((v, i) => v - there(i * grid.step - grid.reach)) : c.chunk.profile } })) })) };
      return [...relocate(trace, () => 0).paths[0].chunks];
    };
    steep(0).forEach((c, k) => {
      if (bulge(k) > 0.3) expect([c.left, Math.abs(c.t - bulge(k)) < 0.01]).toEqual([true, true]);
      if (bulge(k) === 0) expect(c.left === true).toBe(false);
    });
    // The slit goes on in its place: what runs beside it is a printed line.
    for (const c of steep(0.4)) expect(c.left === true).toBe(false);
  });

  /** Places found, of a path with slits 0.12 mm wide, of the darkness that each has. */
  function narrow(count: number, across: (k: number) => Across, share: (k: number) => number, significance: (k: number) => number = () => 30): Trace {
    const trace = traceOf(count, across, (k) => across(k).at);
    return { ...trace, paths: trace.paths.map((path) => ({ ...path, width: 0.12, chunks: path.chunks.map((c, k) => ({ ...c, share: share(k), significance: significance(k) })) })) };
  }

  it("follows one that has left for two chunks, between two that its slope has drawn out, and takes a printed line for none", () => {
    const gone = (k: number): boolean => k === 9 || k === 10;
    const drawnOut = (k: number): boolean => k === 8 || k === 11;
    const noise = ((random) => (): number => 0.004 * random.normal())(randomOf(5));
    const across = (k: number): Across => ({ noise, ...(gone(k) ? { at: 0.5, width: 0.12, depth: 0.4 } : drawnOut(k) ? { at: 0.25, width: 0.2, depth: 0.2 } : { at: 0, width: 0.12, depth: 0.4 }) });
    const trace = narrow(20, across, (k) => (drawnOut(k) ? -0.25 : -0.5), (k) => (drawnOut(k) ? 8 : 30));
    relocate(trace, () => 0).paths[0].chunks.forEach((c, k) => {
      if (gone(k)) expect([c.left, c.t]).toEqual([true, expect.closeTo(0.5, 1)]);
      else if (!drawnOut(k)) expect([c.left === true, c.t]).toEqual([false, expect.closeTo(0, 1)]);
    });
    const line = (t: number): number => 0.4 * Math.exp(-0.5 * (t / 0.12) ** 2);
    const printed = { ...trace, paths: trace.paths.map((path) => ({ ...path, chunks: path.chunks.map((c, k) => (gone(k) ? { ...c, chunk: { ...c.chunk, profile: c.chunk.profile.map((v, i) => v - line(i * grid.step - grid.reach)) } } : c)) })) };
    for (const c of relocate(printed, () => 0).paths[0].chunks) expect(c.left === true).toBe(false);
  });

  it("does not take for it what lies far beyond all that was found about it, and tells nothing by itself", () => {
    const gone = (k: number): boolean => k > 6 && k < 13;
    // The edge of something printed hides the slit where the run begins, and beyond that lies a corner of it.
    const across = (k: number): Across => (k === 5 ? { at: 0, width: 0.12, depth: 0 } : k === 6 ? { at: 0.9, width: 0.12, depth: 0.25, ground: 0.5, step: -0.45 } : { at: gone(k) ? 0.35 : 0, width: 0.12, depth: 0.4 });
    const trace = narrow(24, across, () => -0.5);
    const paths = trace.paths.map((path) => ({ ...path, chunks: path.chunks.map((c, k) => ({ ...c, found: k !== 5 })) }));
    const { chunks } = relocate({ ...trace, paths }, () => 0).paths[0];
    expect(chunks.filter((_, k) => gone(k)).every((c) => c.left === true && Math.abs(c.t - 0.35) < 0.01)).toBe(true);
    expect(chunks[6].found).toBe(false);
  });

  it("follows a bulge most of whose chunks are faint, where every one of them lies on it", () => {
    const bulge = (k: number): number => (k > 6 && k < 19 ? 0.35 * (1 - Math.cos((2 * Math.PI * (k - 6)) / 13)) : 0);
    const faint = (k: number): boolean => k > 10 && k < 16;
    const trace = (lost: number): Trace => {
      const seen = traceOf(26, (k) => ({ at: bulge(k), width: 0.12, depth: faint(k) ? 0.12 : 0.4 }), bulge);
      return { ...seen, paths: seen.paths.map((path) => ({ ...path, width: 0.12, chunks: path.chunks.map((c, k) => ({ ...c, found: k !== lost, significance: faint(k) ? 10 : 20, share: faint(k) ? -0.15 : -0.5 })) })) };
    };
    const left = (lost: number): number => relocate(trace(lost), () => 0).paths[0].chunks.filter((c, k) => faint(k) && c.left && Math.abs(c.t - bulge(k)) < 0.01).length;
    expect(left(-1)).toBe(5);
    expect(left(13)).toBe(0);
  });

  it("does not follow the lip of a slit in print darker than the slit, which is as plain and lies beside it for as long as the print does", () => {
    const aside = (k: number): number => (k > 8 && k < 13 ? 0.3 : 0);
    const trace = (own: number): Trace => {
      const seen = traceOf(26, (k) => (aside(k) > 0 ? { at: 0.3, width: 0.1, depth: -0.05, ground: 0.03 } : { at: 0, width: 0.1, depth: 0.4 }), aside);
      return { ...seen, paths: seen.paths.map((path) => ({ ...path, width: 0.1, chunks: path.chunks.map((c, k) => ({ ...c, chunk: { ...c.chunk, own }, share: aside(k) > 0 ? -1 : -0.6 })) })) };
    };
    expect(relocate(trace(0.08), () => 0).paths[0].chunks.some((c) => c.left)).toBe(false);
  });

  it("follows it past one chunk that something printed makes look like a slit in its place, and takes a letter much darker than the slit for none", () => {
    const bulge = (k: number): number => (k > 6 && k < 13 ? 0.55 : k === 6 || k === 13 ? 0.2 : 0);
    const wide = traceOf(24, (k) => ({ at: bulge(k), width: 0.12, depth: 0.4 }), bulge);
    const printed = (t: number): number => 0.35 * Math.exp(-0.5 * (t / 0.12) ** 2);
    const paths = wide.paths.map((path) => ({ ...path, width: 0.12, chunks: path.chunks.map((c, k) => ({ ...c, share: -0.5, chunk: { ...c.chunk, profile: k === 10 ? c.chunk.profile.map((v, i) => v - printed(i * grid.step - grid.reach)) : c.chunk.profile } })) }));
    const again = relocate({ ...wide, paths }, () => 0).paths[0].chunks;
    for (const k of [7, 8, 9, 11, 12]) expect([again[k].left, Math.abs(again[k].t - 0.55) < 0.01]).toEqual([true, true]);
    const lettered = relocate(traceOf(12, (k) => (k === 5 ? { at: 0.35, width: WIDTH, depth: 0.75 } : slit(0)), (k) => (k === 5 ? 0.35 : 0)), () => 0).paths[0].chunks;
    expect(lettered.map((c) => c.found)).toEqual(Array.from({ length: 12 }, (_, k) => k !== 5));
  });

  it("follows it past what hides the slit for a chunk", () => {
    const bulge = (k: number): number => (k > 6 && k < 15 ? 0.18 * (1 - Math.cos((2 * Math.PI * (k - 6)) / 9)) : 0);
    const wide = traceOf(22, (k) => ({ at: bulge(k), width: 0.12, depth: k === 10 ? -0.5 : 0.4 }), bulge);
    const trace = { ...wide, paths: wide.paths.map((path) => ({ ...path, width: 0.12, chunks: path.chunks.map((c, k) => ({ ...c, share: k === 10 ? 0.6 : -0.5 })) })) };
    relocate(trace, () => 0).paths[0].chunks.forEach((c, k) => {
      if (k === 10) return;
      expect(c.found).toBe(true);
      expect(c.left === true).toBe(bulge(k) > 0.05);
    });
  });

  it("follows a slit on black board, which is a bright line on next to nothing", () => {
    const bulge = (k: number): number => (k > 6 && k < 13 ? 0.11 * (1 - Math.cos((2 * Math.PI * (k - 6)) / 7)) : 0);
    const wide = traceOf(20, (k) => ({ at: bulge(k), width: 0.12, depth: -0.4, ground: 0.004 }), bulge);
    const trace = { ...wide, paths: wide.paths.map((path) => ({ ...path, width: 0.12, chunks: path.chunks.map((c) => ({ ...c, share: 40 })) })) };
    relocate(trace, () => 0).paths[0].chunks.forEach((c, k) => {
      expect(Math.abs(c.t - bulge(k))).toBeLessThan(0.01);
      expect(c.left === true).toBe(bulge(k) > 0.05);
    });
  });

  it("tells a blurred slit that lies off by less than its width from one in place that an edge of the artwork draws aside", () => {
    const random = randomOf(11);
    const bulge = (k: number): number => (k > 9 && k < 16 ? 0.12 * (1 - Math.cos((2 * Math.PI * (k - 9)) / 7)) : 0);
    const noise = (): number => 0.002 * random.normal();
    const away = traceOf(26, (k) => slit(bulge(k), noise), bulge);
    relocate(away, () => 0).paths[0].chunks.forEach((c, k) => {
      expect(c.found).toBe(true);
      if (bulge(k) > 0.1) expect(c.left).toBe(true);
    });
    // Slits in place, beside which the print ends: a line alone is found aside there.
    const beside = (k: number): boolean => k > 9 && k < 16;
    const lone = traceOf(26, () => slit(0, noise), (k) => (beside(k) ? 0.16 : 0));
    const drawn = { ...lone, paths: lone.paths.map((path) => ({ ...path, chunks: path.chunks.map((c, k) => (beside(k) ? { ...c, chunk: { ...c.chunk, profile: c.chunk.profile.map((v, i) => v - 0.12 * integral((i * grid.step - grid.reach - 0.35) / 0.25)) } } : c)) })) };
    relocate(drawn, () => 0).paths[0].chunks.forEach((c) => {
      expect(c.left === true).toBe(false);
      if (c.found) expect(Math.abs(c.t)).toBeLessThan(0.06);
    });
  });

  it("follows a stripped piece's edge as it follows a slit, where it is plain", () => {
    const bulge = (k: number): number => (k > 6 && k < 15 ? 0.3 * (1 - Math.cos((2 * Math.PI * (k - 6)) / 9)) : 0);
    const slits = traceOf(22, (k) => ({ at: bulge(k), width: 0.12, depth: 0, step: -0.6 }), bulge);
    const edge = { ...slits, paths: slits.paths.map((path) => ({ ...path, look: "step" as const, width: 0.12 })) };
    relocate(edge, () => 0).paths[0].chunks.forEach((c, k) => {
      expect(c.found).toBe(true);
      expect(Math.abs(c.t - bulge(k))).toBeLessThan(0.01);
    });
  });

  it("does not take what shows of an edge here and there along one side for it: that side is in shadow", () => {
    const seenOn = (found: number): number => {
      const trace = traceOf(40, () => ({ at: 0, width: 0.25, depth: 0, step: 0.4 }), () => 0, 60);
      const [path] = trace.paths;
      const chunks = path.chunks.map((c, k): TracedChunk => {
        const side = k < 20 ? { nx: 1, ny: 0 } : { nx: -1, ny: 0 };
        const dark = k < 20 && k % 10 >= found;
        return { ...c, share: 0.5, found: !dark, chunk: { ...c.chunk, ...side, ...(dark ? { profile: c.chunk.profile.map(() => 0.4) } : {}) } };
      });
      const edge: TracedPath = { ...path, look: "step", closed: true, away: 1, chunks };
      return relocate({ ...trace, paths: [edge] }, () => 0).paths[0].chunks.slice(0, 20).filter((c) => c.found).length;
    };
    expect(seenOn(1)).toBe(0);
    expect(seenOn(3)).toBe(6);
  });

  it("does not follow a printed line that begins beside the path and leads away, where something hides the slit", () => {
    const line = (k: number): number => (k > 5 && k < 12 ? 0.4 + 0.12 * (k - 6) : 0);
    const narrow = traceOf(26, (k) => ({ at: line(k), width: 0.12, depth: 0.4 }), line);
    const trace = { ...narrow, paths: narrow.paths.map((path) => ({ ...path, width: 0.12, chunks: path.chunks.map((c) => ({ ...c, share: -0.5 })) })) };
    relocate(trace, () => 0).paths[0].chunks.forEach((c, k) => expect([c.found, c.left === true]).toEqual([line(k) === 0, false]));
  });

  it("finds a plain slit that lies beside its place by its profile's width, where hardly any of it shows in place", () => {
    const aside = (k: number): number => (k === 6 ? 0.42 : 0);
    const trace = traceOf(14, (k) => slit(aside(k)), aside, 40);
    const [found, others] = [trace.paths[0].chunks[6], trace.paths[0].chunks[5]].map((c) => relocate(trace, () => 0).paths[0].chunks.find(({ chunk }) => chunk === c.chunk));
    expect([found?.found, others?.found]).toEqual([true, true]);
    expect(Math.abs((found?.t ?? 0) - 0.42)).toBeLessThan(0.03);
  });

  it("does not find a cut where there is none", () => {
    const random = randomOf(3);
    const noise = (): number => 0.01 * random.normal();
    const trace = traceOf(40, (k) => ({ ...slit(0, noise), depth: k < 20 ? 0.2 : 0 }), () => 0, 5);
    const found = relocate(trace, () => 0).paths[0].chunks.map((c) => c.found);
    expect(found.slice(0, 20).every(Boolean)).toBe(true);
    expect(found.slice(20).filter(Boolean).length).toBeLessThan(4);
  });
});

describe("telling slits from the artwork's own lines", () => {
  it("sees slits stand out of noise, and nothing where there are none", () => {
    const random = randomOf(5);
    const noise = (): number => 0.02 * random.normal();
    const there = presenceOf(traceOf(60, () => slit(0, noise), () => 0).paths, grid, () => 0);
    const none = presenceOf(traceOf(60, () => ({ ...slit(0, noise), depth: 0 }), () => 0).paths, grid, () => 0);
    expect(there && there.strength / there.background).toBeGreaterThan(5);
    expect(none && none.strength / Math.max(none.background, 1)).toBeLessThan(3);
  });
});
