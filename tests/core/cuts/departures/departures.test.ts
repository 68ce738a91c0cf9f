import { describe, expect, it } from "vitest";
import { departuresOf } from "../../../../core/cuts/departures/departures.ts";
import type { TracedChunk, TracedPath } from "../../../../core/cuts/trace.ts";
import { integral } from "../../../../core/image/normal.ts";
import { randomOf } from "../../../../core/sample/random.ts";
import { chunkWith, grid } from "../profile.ts";

const COUNT = 26;
const WIDTH = 0.3;
const BLUR = 0.25;
/** A slit's depth, and its share of the ground's light. */
const DEPTH = 0.2;
const SHARE = -0.25;

/** A chunk whose slit lies at `at`; with an edge of the artwork beside it the search has found it drawn aside by 0.16 mm. */
function chunkAt(k: number, at: number, besideArtwork: boolean, noise: () => number): TracedChunk {
  const plain = chunkWith({ at, width: WIDTH, depth: DEPTH, noise }, 5 * k + 2.5);
  const profile = besideArtwork ? plain.profile.map((v, i) => v - 0.12 * integral((i * grid.step - grid.reach - 0.35) / 0.25)) : plain.profile;
  return { chunk: { ...plain, profile }, found: true, t: besideArtwork ? at + 0.16 : at, sigma: 0.01, bias: 0, significance: 20, share: SHARE };
}

/** The first three chunks lie beside an edge of the artwork, the last five have left the path bit by bit. */
function pathThatEndsUnlikeItBegins(closed: boolean): TracedPath {
  const random = randomOf(7);
  const noise = (): number => 0.002 * random.normal();
  const chunks = Array.from({ length: COUNT }, (_, k) => chunkAt(k, k >= COUNT - 5 ? 0.06 * (k - COUNT + 6) : 0, k < 3, noise));
  return { feature: "slit", kind: "cut", look: "line", closed, away: 0, length: 5 * COUNT, chunks, width: WIDTH };
}

describe("where a knife has left its path", () => {
  const toldOf = (closed: boolean): readonly unknown[] => departuresOf(pathThatEndsUnlikeItBegins(closed), Array(COUNT).fill(0), grid, BLUR, SHARE).told;

  it("begins and ends of an open path are told by themselves: what lies beside one says nothing of the other", () => {
    const told = toldOf(false);
    expect(told.slice(0, 3)).toEqual(["artwork", "artwork", "artwork"]);
    expect(told.slice(3)).toEqual(Array(COUNT - 3).fill(null));
  });

  it("on a closed path they are one run, and what its chunks say of it goes together", () => {
    expect(toldOf(true).slice(0, 3)).not.toEqual(["artwork", "artwork", "artwork"]);
  });
});

describe("an edge beside which the board's wall is seen", () => {
  const WALL = 0.9;
  /** A stripped outline whose middle third was found `off` mm outside of where it is expected. */
  const toldOf = (off: number, wall: number): readonly unknown[] => {
    const chunks = Array.from({ length: 30 }, (_, k) => {
      const t = k >= 10 && k < 20 ? off : 0;
      return { chunk: { ...chunkWith({ at: t, width: WIDTH, depth: 0, step: 0.4 }, 5 * k + 2.5), wall }, found: true, t, sigma: 0.01, bias: 0, significance: 40, share: 0.8 };
    });
    const path: TracedPath = { feature: "blank", kind: "cut", look: "step", closed: true, away: 1, length: 150, chunks, width: WIDTH };
    return departuresOf(path, Array(30).fill(0), grid, BLUR, null).told.slice(12, 18);
  };

  it("has not left its path where what was found may be that wall's end, and has where it lies farther out or on the other side", () => {
    expect(toldOf(WALL, WALL)).toEqual(Array(6).fill(null));
    expect(toldOf(WALL, 0)).toEqual(Array(6).fill("left"));
    expect(toldOf(2 * WALL, WALL)).toEqual(Array(6).fill("left"));
    expect(toldOf(-WALL, WALL)).toEqual(Array(6).fill("left"));
  });
});

describe("a hole", () => {
  it("along one side of which its wall or a shade was found is no departure; a stripped piece's outline is", () => {
    const along = (k: number): number => (k > 8 && k < 17 ? 0.2 * (1 - Math.cos((2 * Math.PI * (k - 8)) / 9)) : 0);
    const toldOf = (away: 1 | -1): readonly unknown[] => {
      const chunks = Array.from({ length: COUNT }, (_, k) => ({ chunk: chunkWith({ at: along(k), width: 0.12, depth: 0, step: 0.5 }, 5 * k + 2.5), found: true, t: along(k), sigma: 0.01, bias: 0, significance: 40, share: 0.8 }));
      const path: TracedPath = { feature: "cut", kind: "cut", look: "step", closed: true, away, length: 5 * COUNT, chunks, width: 0.12 };
      return departuresOf(path, Array(COUNT).fill(0), grid, BLUR, null).told;
    };
    expect(toldOf(-1)).toEqual(Array(COUNT).fill(null));
    expect(toldOf(1).filter((told) => told === "left").length).toBeGreaterThan(3);
  });
});

describe("a knife that leaves its path on print that is light here and dark there", () => {
  const NARROW = 0.12;
  const N = 40;
  /** The path is off by these, mm, from chunk 15 on; `groundAt`: the light of the print along it. A slit's own light is the same everywhere. */
  const toldOf = (
    offs: readonly number[], groundAt: (k: number) => number, unseen: readonly number[] = [], openAt: (k: number) => number = () => 0.5, artwork: { k: number; edge: number; off: number } | null = null,
  ): readonly unknown[] => {
    const noise = ((random) => (): number => 0.001 * random.normal())(randomOf(5));
    const OWN = 0.05;
    const chunks = Array.from({ length: N }, (_, k): TracedChunk => {
      const t = offs[k - 15] ?? 0;
      const depth = openAt(k) * (groundAt(k) - OWN);
      const chunk = chunkWith({ at: t, width: NARROW, depth, ground: groundAt(k), noise }, 5 * k + 2.5);
      if (artwork?.k === k) {
        const { edge, off } = artwork;
        const profile = chunk.profile.map((v, i) => v - 0.4 * groundAt(k) * integral((i * grid.step - grid.reach - edge) / NARROW));
        return { chunk: { ...chunk, profile }, found: true, t: off, sigma: 0.01, bias: 0, significance: 8, share: -0.2 };
      }
      return { chunk, found: !unseen.includes(k), t, sigma: 0.01, bias: 0, significance: 20, share: -depth / groundAt(k) };
    });
    const path: TracedPath = { feature: "slit", kind: "cut", look: "line", closed: false, away: 0, length: 5 * N, chunks, width: NARROW };
    return departuresOf(path, Array(N).fill(0), grid, NARROW, -0.45).told;
  };
  const leftOf = (told: readonly unknown[]): number[] => told.flatMap((t, k) => (t === "left" ? [k] : []));

  it("is followed where its slit is much fainter than on most of the path, as the chunks in place about it are", () => {
    expect(leftOf(toldOf([0.2, 0.35, 0.4, 0.35, 0.2], (k) => (k > 5 && k < 30 ? 0.08 : 0.6)))).toEqual([15, 16, 17, 18, 19]);
  });

  it("is followed into print that all but hides it", () => {
    expect(leftOf(toldOf([0.2, 0.35, 0.45, 0.45, 0.35, 0.2, 0.1], (k) => (k >= 19 && k < 24 ? 0.09 : 0.6))).slice(0, 4)).toEqual([15, 16, 17, 18]);
  });

  it("is followed where the slit opens on the one side of it and closes on the other", () => {
    const open = (k: number): number => (k < 19 ? 0.75 : 0.06);
    expect(leftOf(toldOf([0.2, 0.35, 0.4, 0.4, 0.4, 0.4, 0.35, 0.2], () => 0.6, [], open))).toEqual([15, 16, 17, 18, 19, 20, 21, 22]);
  });

  it("is not where what was found lies now on the one side of the path and now on the other", () => {
    expect(leftOf(toldOf([0.2, 0.35, 0.35, -0.35, -0.35, -0.2], () => 0.6, [17, 18]))).toEqual([]);
  });

  it("is followed up to where artwork beside a slit in its place was found instead", () => {
    const artwork = { k: 14, edge: 0.25, off: 0.2 };
    expect(leftOf(toldOf([-0.44, -0.57, -0.57, -0.53, -0.33], () => 0.6, [], undefined, artwork))).toEqual([15, 16, 17, 18, 19]);
  });

  it("comes back steeply, with some of its way not seen at all; what leads nowhere is not followed", () => {
    const steep = [0.5, 0.55, 0.55, 0.5, 0, 0];
    expect(leftOf(toldOf(steep, () => 0.6, [19, 20])).slice(0, 4)).toEqual([15, 16, 17, 18]);
    expect(leftOf(toldOf([...steep.slice(0, 4), ...Array(30).fill(0.5)], () => 0.6, Array.from({ length: 21 }, (_, k) => 19 + k)))).toEqual([]);
  });
});

describe("the edge of a stripped piece", () => {
  const NARROW = 0.15;
  const N = 40;
  /** Edges found off by these, mm, from chunk 15 on, of `height`; `left`: whether one is left in place beside them. */
  const toldOf = (offs: readonly (number | null)[], height = 0.6, left = false): number[] => {
    const chunks = Array.from({ length: N }, (_, k): TracedChunk => {
      const t = offs[k - 15] === undefined ? 0 : offs[k - 15];
      const away = offs[k - 15] !== undefined;
      const step = away ? -height : -0.6;
      const plain = chunkWith({ at: t ?? 0, width: NARROW, depth: 0, ground: 0.5, step }, 5 * k + 2.5);
      const profile = away && left ? plain.profile.map((v, i) => v - 0.4 * integral((i * grid.step - grid.reach) / NARROW)) : plain.profile;
      return { chunk: { ...plain, profile }, found: t !== null, t: t ?? 0, sigma: 0.005, bias: 0, significance: 50, share: step / (0.5 - step / 2) };
    });
    const path: TracedPath = { feature: "blank", kind: "cut", look: "step", closed: true, away: 1, length: 5 * N, chunks, width: NARROW };
    return departuresOf(path, Array(N).fill(0), grid, NARROW, null).told.flatMap((told, k) => (told === "left" ? [k] : []));
  };

  it("is followed where the knife has left its path steeply, past a piece that is not seen", () => {
    expect(toldOf([0.3, 0.6, 0.65, 0.6, 0.3])).toEqual([15, 16, 17, 18, 19]);
    expect(toldOf([-0.1, -0.45, null, -0.5, -0.17])).toEqual([15, 16, 18, 19]);
  });

  it("is not where what was found is another edge: one of another height, or beside one in its place", () => {
    expect(toldOf([0.3, 0.6, 0.65, 0.6, 0.3], 0.25)).toEqual([]);
    expect(toldOf([0.6, 0.65, 0.6, 0.6], 0.6, true)).toEqual([]);
    expect(toldOf([0.6, 0.65])).toEqual([]);
  });

  it("is not where it lies off now farther and now nearer: letters that it cuts through take bites out of it", () => {
    expect(toldOf([-0.25, -0.29, -0.4, -0.21, -0.4, -0.28, -0.2])).toEqual([]);
    expect(toldOf([-0.15, -0.29, -0.38, -0.41, -0.38, -0.28, -0.15])).toEqual([15, 16, 17, 18, 19, 20, 21]);
  });

  it("is followed along a bulge, and not where one chunk alone lies off: a patch printed round a mark touches the cut there", () => {
    expect(toldOf([-0.12, -0.22, -0.12])).toEqual([15, 16, 17]);
    expect(toldOf([-0.09, -0.22, -0.04])).toEqual([]);
    expect(toldOf([-0.22])).toEqual([]);
  });
});
