import { expect, it } from "vitest";
import { directionOf } from "../../../../core/cuts/directions.ts";
import { evidenceOf, profileOf } from "../../../../core/cuts/evidence/evidence.ts";
import { withoutPrintedLines } from "../../../../core/cuts/evidence/printedLines.ts";
import { predictedOffset, registerCoarsely, type Sight } from "../../../../core/cuts/register.ts";
import type { Chunk } from "../../../../core/cuts/strips/strip.ts";
import type { TracedChunk, TracedPath } from "../../../../core/cuts/trace.ts";
import { randomOf } from "../../../../core/sample/random.ts";
import { chunkWith, grid } from "../profile.ts";

const WIDTH = 0.15;
const BLUR = 0.12;
const SIDE = 400;
const DOWN = directionOf({ nx: 0, ny: -1 });
/** Where the cut lies, mm. */
const cut = ({ nx, ny }: Pick<Chunk, "nx" | "ny">): number => 0.2 * nx - 0.1 * ny;

/** A square piece with slits in their place on three sides; on the lower one what was found lies `aside` from there, mm, and is `depth` deep where the slits are 0.2. */
function piece(aside: number, depth: number): { readonly traced: TracedPath; readonly sight: Sight } {
  const random = randomOf(5);
  const chunks = [[1, 0], [0, 1], [-1, 0], [0, -1]].flatMap(([nx, ny], turn) => Array.from({ length: SIDE / 5 }, (_, i): TracedChunk => {
    const on = -SIDE / 2 + 5 * i + 2.5;
    const place = { x: nx * (SIDE / 2) - ny * on, y: ny * (SIDE / 2) + nx * on, nx, ny, tx: -ny, ty: nx };
    const [t, deep] = ny < 0 ? [cut(place) + aside, depth] : [cut(place), 0.2];
    const chunk = { ...chunkWith({ at: t, width: WIDTH, depth: 0.8 * deep, noise: () => 0.003 * random.normal() }, SIDE * turn + 5 * i + 2.5), ...place };
    return { chunk, found: true, t, sigma: 0.01, bias: 0, significance: 30, share: -deep };
  }));
  return {
    traced: { feature: "blank", kind: "cut", look: "line", closed: true, away: 1, length: 4 * SIDE, chunks, width: WIDTH },
    sight: { look: "line", weight: 1, witnesses: chunks.map(({ chunk }) => ({ chunk, evidence: evidenceOf(profileOf(chunk), grid, "line", BLUR, -1) })) },
  };
}

/** Which chunks of the lower side are still taken for the cut, and where that side is expected. */
function lookedAt(aside: number, depth: number): { readonly kept: number; readonly others: number; readonly expected: number } {
  const { traced, sight } = piece(aside, depth);
  const { paths: [path], shift } = withoutPrintedLines([traced], [{ cut: { kind: "cut" }, sight }], registerCoarsely(sight.witnesses, grid), grid);
  const lower = path.chunks.filter((c) => directionOf(c.chunk) === DOWN);
  return { kept: lower.filter((c) => c.found).length, others: path.chunks.filter((c) => c.found).length - lower.filter((c) => c.found).length, expected: predictedOffset(shift, lower[lower.length >> 1].chunk) };
}

it("a side that lies aside and is three times as dark as the others is a printed line: it is not taken for the cut, and the others say where that is", () => {
  const { kept, others, expected } = lookedAt(-1.2, 0.7);
  expect(kept).toBe(0);
  expect(others).toBe((3 * SIDE) / 5);
  expect(expected).toBeCloseTo(cut({ nx: 0, ny: -1 }), 1);
});

it("a side that is as dark but lies where the others have the cut stays, and so does one that lies aside but is as dark as they are", () => {
  expect(lookedAt(0, 0.7).kept).toBe(SIDE / 5);
  expect(lookedAt(-1.2, 0.3).kept).toBe(SIDE / 5);
});
