import { quadraticForm } from "../../geometry/quadraticForm.ts";
import { flattenCut } from "../../job/paths.ts";
import type { Job } from "../../job/schema.ts";
import { walk } from "../../job/walk.ts";
import type { Solution } from "../fit/solution.ts";
import { predictView, TERM_COUNT } from "../view/viewModel.ts";

/** Way between the places of a cut that are asked, mm. */
const EVERY = 10;

/** Share of the cuts' length of which a view tells where it is to within `reach` mm across the cut, before it is looked for (twice the standard uncertainty). */
export function foreseenShare({ view, free, size, covariance, data: { frame } }: Solution, job: Job, reach: number): number {
  const at = new Float64Array(2);
  const J = new Float64Array(2 * TERM_COUNT);
  const B = new Float64Array(4);
  const { print } = frame;
  const places = job.cuts.filter((cut) => cut.kind === "cut").flatMap((cut) => flattenCut(cut).flatMap((subpath) => walk(subpath, EVERY)));
  const told = places.filter(({ x, y, nx, ny }) => {
    predictView(view, (x - print.x) / print.half, (y - print.y) / print.half, at, J, B);
    // Along the picture of the normal, in print units: how far the view's terms may put the cut off.
    const [gx, gy] = [B[0] * nx + B[1] * ny, B[2] * nx + B[3] * ny];
    const scale = print.half / (gx * gx + gy * gy);
    const row = free.map((term) => scale * (gx * J[term] + gy * J[TERM_COUNT + term]));
    return 4 * quadraticForm(covariance, size, row) < reach * reach;
  });
  return places.length > 0 ? told.length / places.length : 0;
}
