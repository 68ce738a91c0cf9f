import { directionOf, sidesOf, type Side } from "../../cuts/directions.ts";
import { medianOf } from "../../statistics/median.ts";
import { isOverGap, type CutSighting } from "./equations.ts";

/**
 * How much the edges over a gap count beside slits. The many pixels of a lost slug's edge place it to some micrometres, but what the shade at its foot does to it is known ten times worse than what lips do to slits, and either is alike for all
 * of a direction: n such chunks tell no more than one. By its noise alone a sheet's few holes would outweigh its slits, and bring that doubt with them. n chunks of noise sigma and doubt d tell with the weight 1/(d^2 + sigma^2/n)
 * (generalised least squares for errors that are alike; Aitken, Proc. R. Soc. Edinburgh 55 (1935) 42, from memory): a direction's edges count by so much that they weigh against the usual direction's slits as these weights do, and no more than by their noise. Where there are no slits, nothing changes.
 */
export function besideSlits(cuts: readonly CutSighting[]): CutSighting[] {
  const slits = sidesAmong(cuts.filter((c) => !isOverGap(c)));
  if (slits.length === 0) return [...cuts];
  const usual = medianOf(slits.map(shareOf));
  const edges = new Map(sidesAmong(cuts.filter(isOverGap)).map((side) => [side.direction, shareOf(side)]));
  return cuts.map((c) => {
    const counts = isOverGap(c) ? (edges.get(directionOf(c)) ?? usual) / usual : 1;
    return counts < 1 ? { ...c, counts } : c;
  });
}

function sidesAmong(cuts: readonly CutSighting[]): Side<{ readonly chunk: CutSighting }>[] {
  return sidesOf(cuts.map((chunk) => ({ chunk })), 1);
}

/** What a direction's chunks tell together, as a share of what they would by their noise alone. */
function shareOf({ chunks }: Side<{ readonly chunk: CutSighting }>): number {
  const sum = (of: (c: CutSighting) => number): number => chunks.reduce((total, { chunk }) => total + of(chunk), 0);
  const noise = sum((c) => c.sigma ** 2) / chunks.length;
  return noise / (noise + sum((c) => (c.lip ?? 0) ** 2));
}
