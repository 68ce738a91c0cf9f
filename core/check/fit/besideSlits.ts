import { DIRECTIONS, directionOf } from "../../cuts/directions.ts";
import { medianOf } from "../../statistics/median.ts";
import { isOverGap, type CutSighting } from "./equations.ts";

/**
 * How much the edges over a gap count beside slits. The many pixels of a lost slug's edge place it to some micrometres, but what the shade at its foot does to it is known ten times worse than what lips do to slits, and either is alike for all
 * of a direction: n such chunks tell no more than one. By its noise alone a sheet's few holes would outweigh its slits, and bring that doubt with them. n chunks of noise sigma and doubt d tell with the weight 1/(d^2 + sigma^2/n)
 * (generalised least squares for errors that are alike; Aitken, Proc. R. Soc. Edinburgh 55 (1935) 42, from memory): a direction's edges count by so much that they weigh against the usual direction's slits as these weights do, and no more than by their noise. Where there are no slits, nothing changes.
 */
export function besideSlits(cuts: readonly CutSighting[]): CutSighting[] {
  const slits = groupsOf(cuts.filter((c) => !isOverGap(c)));
  if (slits.length === 0) return [...cuts];
  const edges = new Map(groupsOf(cuts.filter(isOverGap)).map((group) => [group.direction, group]));
  const usual = medianOf(slits.map(shareOf));
  return cuts.map((c) => {
    const group = isOverGap(c) ? edges.get(directionOf(c)) : undefined;
    const counts = group ? shareOf(group) / usual : 1;
    return counts < 1 ? { ...c, counts } : c;
  });
}

/** Chunks of one direction: how many, the mean variance of their noise, and that of what is alike for all of them, mm^2. */
interface Group {
  readonly direction: number;
  readonly n: number;
  readonly noise: number;
  readonly alike: number;
}

function groupsOf(cuts: readonly CutSighting[]): Group[] {
  return Array.from({ length: DIRECTIONS }, (_, direction) => direction).flatMap((direction) => {
    const own = cuts.filter((c) => directionOf(c) === direction);
    if (own.length === 0) return [];
    const mean = (of: (c: CutSighting) => number): number => own.reduce((sum, c) => sum + of(c), 0) / own.length;
    return [{ direction, n: own.length, noise: mean((c) => c.sigma ** 2), alike: mean((c) => (c.lip ?? 0) ** 2) }];
  });
}

/** What a group tells, as a share of what it would by its noise alone. */
function shareOf({ n, noise, alike }: Group): number {
  return noise / (noise + n * alike);
}
