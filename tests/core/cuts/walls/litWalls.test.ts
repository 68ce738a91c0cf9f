import { expect, it } from "vitest";
import { withoutLitWalls } from "../../../../core/cuts/walls/litWalls.ts";
import type { TracedChunk, TracedPath } from "../../../../core/cuts/trace.ts";
import { randomOf } from "../../../../core/sample/random.ts";
import { chunkWith, grid } from "../profile.ts";

const WIDTH = 0.12;
const GROUND = 0.05;

/** A piece in dark print, whose slits across y are dark and plain; those across x are bright by so much of the ground's light, and a faint dark line of `faint` was found 0.2 mm inside of them. */
function piece(bright: number, faint: number, plainly: number): TracedPath {
  const random = randomOf(8);
  const chunks = [[1, 0], [0, 1], [-1, 0], [0, -1]].flatMap(([nx, ny]) => Array.from({ length: 12 }, (_, k): TracedChunk => {
    const across = nx !== 0;
    const at = across ? -0.2 : 0;
    const dark = chunkWith({ at, width: WIDTH, depth: GROUND * (across ? faint : 0.6), ground: GROUND, noise: () => 0.0005 * random.normal() }, 5 * k);
    const lit = chunkWith({ at: 0, width: WIDTH, depth: across ? -bright * GROUND : 0, ground: 0 }, 5 * k);
    return { chunk: { ...dark, nx, ny, profile: dark.profile.map((v, i) => v + lit.profile[i]) }, found: true, t: at, sigma: 0.01, bias: 0, significance: across ? plainly : 32, share: across ? -faint : -0.6 };
  }));
  return { feature: "blank", kind: "cut", look: "line", closed: true, away: 1, length: 240, chunks, width: WIDTH };
}

const kept = (path: TracedPath): number => withoutLitWalls([path], grid)[0].chunks.filter((c) => c.found).length;

it("where the light falls into slits in dark print, the faint dark beside their bright walls is no slit; those across are", () => {
  expect(kept(piece(1.5, 0.3, 5))).toBe(24);
});

it("a slit as plain as the others with a bright lip stays, and so does a faint one without", () => {
  expect(kept(piece(1.5, 0.3, 30))).toBe(48);
  expect(kept(piece(0, 0.3, 5))).toBe(48);
});

it("a side whose bright line is next to nothing against its print stays", () => expect(kept(piece(0.02, 0.01, 5))).toBe(48));
