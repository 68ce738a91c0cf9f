import type { Cut, Job, Mark } from "../job/schema.ts";

/**
 * A witness: a printed ring with a cut hole in its middle. Where the hole lies in the ring is the cut against the print at that place, whatever lens and view
 * do elsewhere. In the job it is a ring mark and a circular cut with one centre, nothing more.
 */
export interface WitnessPair {
  readonly ring: Extract<Mark, { shape: "ring" }>;
  readonly hole: Extract<Cut, { circle: object }>;
}

/** Centres nearer than this are one, mm. */
const ONE_CENTRE = 0.01;
/** Board that must be left between hole and ring, mm, so that their edges can be told apart. */
const LEAST_GAP = 0.5;

/** The witnesses of a job, in the order of its marks. */
export function witnessPairs(job: Pick<Job, "marks" | "cuts">): WitnessPair[] {
  return job.marks.flatMap((ring): WitnessPair[] => {
    if (ring.shape !== "ring") return [];
    const hole = job.cuts.find((c): c is WitnessPair["hole"] => c.kind === "cut" && "circle" in c
      && Math.hypot(c.circle.x - ring.x, c.circle.y - ring.y) <= ONE_CENTRE && c.circle.diameter <= ring.inner - 2 * LEAST_GAP);
    return hole ? [{ ring, hole }] : [];
  });
}
