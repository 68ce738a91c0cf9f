import { describe, expect, it } from "vitest";
import { evidenceOf, profileOf } from "../../../../core/cuts/evidence/evidence.ts";
import { movedPieces } from "../../../../core/cuts/departures/movedPieces.ts";
import { elsewhere, usualOf } from "../../../../core/cuts/departures/movedSlits.ts";
import { predictedOffset, type CoarseShift, type Sight } from "../../../../core/cuts/register.ts";
import type { Chunk } from "../../../../core/cuts/strips/strip.ts";
import type { TracedPath } from "../../../../core/cuts/trace.ts";
import { randomOf } from "../../../../core/sample/random.ts";
import { chunkWith, grid } from "../profile.ts";

const WIDTH = 0.15;
const BLUR = 0.12;

/** How a slit or line lies, mm: shifted along x and y, and turned about the piece's middle, mm per mm. */
interface Way {
  readonly x: number;
  readonly y: number;
  readonly turn?: number;
}

const STILL: Way = { x: 0, y: 0 };
const MOVED: Way = { x: 0.8, y: -0.6, turn: 0.002 };

/** How far along its normal a way has a place of the outline. */
const along = ({ x, y, turn = 0 }: Way, at: Pick<Chunk, "x" | "y" | "nx" | "ny">): number => at.nx * (x - turn * at.y) + at.ny * (y + turn * at.x);

/** The outline of a square piece about the origin, every chunk of which shows slits or lines that lie these ways. */
function outline(side: number, ways: readonly Way[], depth = 0.4): Chunk[] {
  const random = randomOf(3);
  const perSide = Math.round(side / 5);
  return [[1, 0], [0, 1], [-1, 0], [0, -1]].flatMap(([nx, ny], turn) =>
    Array.from({ length: perSide }, (_, i) => {
      const on = -side / 2 + 5 * i + 2.5;
      const place = { x: nx * (side / 2) - ny * on, y: ny * (side / 2) + nx * on, nx, ny, tx: -ny, ty: nx };
      const bare = chunkWith({ at: 0, width: WIDTH, depth: 0, noise: () => 0.003 * random.normal() }, side * turn + 5 * i + 2.5);
      const lines = ways.map((way) => chunkWith({ at: along(way, place), width: WIDTH, depth, ground: 0 }).profile);
      return { ...bare, ...place, profile: bare.profile.map((v, i) => v + lines.reduce((sum, line) => sum + line[i], 0)) };
    }));
}

describe("pieces that moved as one", () => {
  /** A piece that was found where the first of the ways has it. */
  function piece(feature: string, ways: readonly Way[], side = 60): TracedPath {
    const chunks = outline(side, ways).map((chunk) => ({ chunk, found: true, t: along(ways[0], chunk), sigma: 0.01, bias: 0, significance: 30, share: -0.5 }));
    return { feature, kind: "cut", look: "line", closed: true, away: 0, length: 4 * side, chunks, width: WIDTH };
  }
  const still = ["A", "B", "C"].map((id) => piece(id, [STILL]));
  const shifts = (paths: readonly TracedPath[]) => movedPieces(paths, paths.map((path) => path.chunks.map(() => 0)), grid);
  const shiftOf = (path: TracedPath) => shifts([...still, path])[still.length];

  it("are told with their shift and turn, and the others are not", () => {
    const found = shifts([...still, piece("D", [MOVED])]);
    expect(found.slice(0, 3)).toEqual([null, null, null]);
    for (const chunk of outline(60, [])) expect(found[3]?.at(chunk)).toBeCloseTo(along(MOVED, chunk), 2);
  });

  it("are told where they moved along two of their sides, which show their slit in its place still", () => {
    const shift = shiftOf(piece("D", [{ x: 0.8, y: 0 }]));
    for (const chunk of outline(60, [])) expect(shift?.at(chunk)).toBeCloseTo(0.8 * chunk.nx, 2);
  });

  it("are none where the slit is in its place, and a line as dark all around beside it was found", () => {
    expect(shiftOf(piece("D", [MOVED, STILL]))).toBeNull();
  });

  it("are none where what was found does not lie on one shift and turn", () => {
    const bleed = piece("D", [MOVED]);
    // All around outside, as the edge of a bleed is.
    expect(shiftOf({ ...bleed, chunks: bleed.chunks.map((c) => ({ ...c, t: 0.8 })) })).toBeNull();
    const partly = (share: number) => shiftOf({ ...bleed, chunks: bleed.chunks.map((c, k) => (k % 10 < 10 * share ? c : { ...c, t: c.t + 0.5 })) });
    expect(partly(0.9)).not.toBeNull();
    expect(partly(0.7)).toBeNull();
  });

  it("are none where only half of the outline is seen, or all of it is bright where slits are dark", () => {
    const moved = piece("D", [MOVED]);
    expect(shiftOf({ ...moved, chunks: moved.chunks.map((c, k) => ({ ...c, found: k % 2 === 0 })) })).toBeNull();
    expect(shiftOf({ ...moved, chunks: moved.chunks.map((c) => ({ ...c, share: 0.5 })) })).toBeNull();
  });

  it("are neither creases nor open cuts, nor edges, nor small holes", () => {
    const moved = piece("D", [MOVED]);
    for (const other of [{ kind: "crease" }, { closed: false }, { look: "step" }] as const) expect(shiftOf({ ...moved, ...other })).toBeNull();
    expect(shiftOf(piece("D", [MOVED], 10))).toBeNull();
  });

  it("are not told where they would be so many that the others may have moved", () => {
    expect(shifts([...still, piece("D", [MOVED]), piece("E", [MOVED])]).filter(Boolean)).toHaveLength(2);
    expect(shifts([still[0], piece("D", [MOVED])])).toEqual([null, null]);
  });
});

describe("slits plainly elsewhere than all cuts together", () => {
  const common: CoarseShift = { about: { x: 0, y: 0 }, terms: new Float64Array(6) };

  /** A piece as it may be seen: as dark slits or as bright ones; it was taken for the one of the given number. */
  function seen(ways: readonly Way[], { side = 60, depth = 0.4, as = 0 } = {}) {
    const chunks = outline(side, ways, depth);
    const sights = ([-1, 1] as const).map((sign): Sight => ({ look: "line", weight: 1, witnesses: chunks.map((chunk) => ({ chunk, evidence: evidenceOf(profileOf(chunk), grid, "line", BLUR, sign) })) }));
    return { closed: true, length: 4 * side, sights, sight: sights[as] };
  }
  const still = [seen([STILL]), seen([STILL]), seen([STILL])];
  const usual = usualOf(still, common, grid);
  const find = (piece: ReturnType<typeof seen>) => elsewhere(piece, common, usual, grid);

  it("usually look as most do, and show as plainly as the one in the middle", () => {
    expect(usual.sight).toBe(0);
    expect(usualOf([seen([STILL]), seen([STILL]), seen([MOVED], { as: 1 })], common, grid)).toEqual(usual);
    expect(usualOf([seen([STILL]), seen([MOVED]), seen([MOVED])], common, grid).shown).toBeLessThan(0.5 * usual.shown);
  });

  it("are found where they lie, looking as the others do whatever they were taken for", () => {
    for (const as of [0, 1]) {
      const piece = seen([MOVED], { as });
      const found = find(piece);
      expect(found?.sight).toBe(piece.sights[0]);
      for (const chunk of outline(60, [])) expect(found && predictedOffset(found.own, chunk)).toBeCloseTo(along(MOVED, chunk), 1);
    }
  });

  it("are none where the piece shows its slit with the others, be there a darker line beside it or not", () => {
    expect(find(seen([STILL]))).toBeNull();
    expect(find(seen([STILL, MOVED]))).toBeNull();
  });

  it("are none that lie where they are found anyway", () => {
    expect(find(seen([{ x: 0.1, y: 0.1 }]))).toBeNull();
  });

  it("are none where nothing is seen, nor what is seen is bright where slits are dark", () => {
    expect(find(seen([]))).toBeNull();
    expect(find(seen([MOVED], { depth: -0.4, as: 1 }))).toBeNull();
  });

  it("are neither open cuts nor small holes", () => {
    expect(find({ ...seen([MOVED]), closed: false })).toBeNull();
    expect(find(seen([MOVED], { side: 10 }))).toBeNull();
  });
});
