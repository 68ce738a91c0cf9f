import type { PrintPoint } from "../geometry/frames.ts";
import type { Cut, Job, Mark } from "../job/schema.ts";
import { reach } from "../marks/shapes.ts";
import { freePlaces } from "./places.ts";
import type { Box } from "../geometry/polygon.ts";
import type { NoView } from "./viewpoint.ts";

export interface WitnessWish {
  readonly count: number;
  /** Diameter of the hole, mm: 5 where not given. The ring leaves 2 mm of board round it and is 1.5 mm wide. */
  readonly hole?: number;
  /** Free board round the ring, mm: 2 where not given. */
  readonly clear?: number;
  readonly edge?: number;
  readonly avoid?: readonly Box[];
}

const GAP = 2;
const BAND = 1.5;

/**
 * Proposes witnesses (see core/witness) in the waste, spread over the sheet: each as far as can be from those before it, the first nearest to a corner.
 * They come as the ring marks and circular cuts that they are in a job.
 */
export function proposeWitnesses(job: Job, wish: WitnessWish): { readonly ok: true; readonly marks: readonly Mark[]; readonly cuts: readonly Cut[] } | NoView {
  if (job.state === "stripped") return { ok: false, reason: "Witnesses stand in the waste, and of a stripped piece the waste is gone.", hint: "Check sheets with the pieces still in." };
  if (!Number.isInteger(wish.count) || wish.count < 1 || wish.count > 60) return { ok: false, reason: `${wish.count} is not a number of witnesses.`, hint: "Ask for 1 to 60." };
  const hole = wish.hole ?? 5;
  const outer = hole + 2 * (GAP + BAND);
  const clear = wish.clear ?? 2;
  const places = freePlaces(job, {
    radius: outer / 2 + clear, fromEdge: outer / 2 + (wish.edge ?? 6), avoid: wish.avoid,
    others: job.marks.map((m) => ({ x: m.x, y: m.y, radius: reach(m) + clear })),
  });
  const chosen: PrintPoint[] = [];
  while (chosen.length < wish.count) {
    const far = (p: PrintPoint) => chosen.length === 0 ? -Math.hypot(p.x, p.y) : Math.min(...chosen.map((c) => Math.hypot(c.x - p.x, c.y - p.y)));
    const next = places.reduce<PrintPoint | null>((best, p) => (best === null || far(p) > far(best) ? p : best), null);
    if (next === null || (chosen.length > 0 && far(next) < outer + 2 * clear)) {
      return { ok: false, reason: `There is room for only ${chosen.length} witnesses in the waste.`, hint: "Ask for fewer or smaller ones." };
    }
    chosen.push(next);
  }
  const taken = new Set([...job.marks.map((m) => m.id), ...job.cuts.map((c) => c.id)]);
  let n = 0;
  const named = chosen.map((at) => {
    do n++; while (taken.has(`W${n} ring`) || taken.has(`W${n} hole`));
    return { n, at };
  });
  return {
    ok: true,
    marks: named.map(({ n: k, at }) => ({ id: `W${k} ring`, shape: "ring", x: at.x, y: at.y, outer, inner: hole + 2 * GAP })),
    cuts: named.map(({ n: k, at }) => ({ id: `W${k} hole`, kind: "cut", circle: { x: at.x, y: at.y, diameter: hole } })),
  };
}
