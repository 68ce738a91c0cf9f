import { expect, it } from "vitest";
import { oddsAway } from "../../../../core/cuts/departures/drawnAside.ts";
import { integral } from "../../../../core/image/normal.ts";
import { randomOf } from "../../../../core/sample/random.ts";
import { chunkWith, grid } from "../profile.ts";

const WIDTH = 0.35;
const BLUR = 0.24;
/** A bright slit on black board as high as it is elsewhere, the board's light, and how far from its place it lies, mm. */
const HEIGHT = 0.08;
const GROUND = 0.045;
const AWAY = 0.6;

const random = randomOf(4);
const noise = (): number => 0.0004 * random.normal();

/** Two bared rims of 0.18 mm with a groove of 0.14 mm between them, the one to the slit's own place brighter by so much of their mean, seen with some blur: how much likelier it lies away than in its place. */
function oddsOf(unequal: number, blur: number): number {
  const plain = chunkWith({ at: 0, width: WIDTH, depth: 0, ground: GROUND, noise });
  const rim = (t: number, from: number, to: number): number => integral((t - from) / blur) - integral((t - to) / blur);
  const profile = plain.profile.map((v, i) => {
    const t = i * grid.step - grid.reach - AWAY;
    return v + 0.2 * ((1 + unequal) * rim(t, -0.25, -0.07) + (1 - unequal) * rim(t, 0.07, 0.25));
  });
  return oddsAway({ profile }, grid, 0, AWAY, HEIGHT, WIDTH, BLUR);
}

it("a slit that lies away is told from one in its place with something beside it where the picture is less sharp than along the rest of its path", () => {
  for (const blur of [0.3, 0.36]) for (const unequal of [0, 0.25, 0.5]) expect(oddsOf(unequal, blur), `blur ${blur}, unequal by ${unequal}`).toBeGreaterThan(0);
});

it("a slit in its place beside an edge of the artwork is none that lies away", () => {
  const plain = chunkWith({ at: 0, width: WIDTH, depth: -HEIGHT, ground: GROUND, noise });
  const profile = plain.profile.map((v, i) => v + 0.09 * integral((i * grid.step - grid.reach - 0.5) / BLUR));
  expect(oddsAway({ profile }, grid, 0, 0.35, HEIGHT, WIDTH, BLUR)).toBeLessThan(-1);
});
