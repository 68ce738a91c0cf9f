import { DIRECTIONS, directionOf } from "../../cuts/directions.ts";
import { isOverGap, type CutSighting } from "./equations.ts";

/**
 * How much the edges over a gap count beside slits. The many pixels of a lost slug's edge place it to some micrometres, but what the shade at its foot does to it is known ten times worse
 * than what lips do to slits, and alike for all of a direction: n such chunks tell no more than one. By its noise alone a sheet's few holes would outweigh its slits, and bring that doubt with them. A chunk counts
 * by sigma^2/(sigma^2 + n d^2), d its doubt beyond that of the slits (generalised least squares, for the sum of the direction; Aitken's weights for errors that are alike; from memory). Where there are no slits, nothing changes.
 */
export function besideSlits(cuts: readonly CutSighting[]): CutSighting[] {
  const slits = cuts.filter((c) => !isOverGap(c));
  if (slits.length === 0) return [...cuts];
  const usual = slits.reduce((sum, c) => sum + (c.lip ?? 0) ** 2, 0) / slits.length;
  const alike = new Array<number>(DIRECTIONS).fill(0);
  for (const c of cuts) if (isOverGap(c)) alike[directionOf(c)]++;
  return cuts.map((c) => {
    const beyond = isOverGap(c) ? alike[directionOf(c)] * Math.max(0, (c.lip ?? 0) ** 2 - usual) : 0;
    return beyond > 0 ? { ...c, counts: c.sigma ** 2 / (c.sigma ** 2 + beyond) } : c;
  });
}
