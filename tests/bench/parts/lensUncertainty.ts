import { calibratePlanar } from "../../../core/camera/calibrate/planar.ts";
import { LENS_PARAMETERS, type Lens } from "../../../core/camera/lens.ts";
import { marksOf } from "../../../core/camera/target/dots.ts";
import { project } from "../../../core/camera/view.ts";
import type { CameraSetup } from "../../../core/sample/imaging.ts";
import type { Random } from "../../../core/sample/random.ts";
import { targetFor } from "../../../electron/host/calibrate/targetPdf.ts";
import { viewOf } from "../../support/targetPicture.ts";

/** How well a calibration knows a lens: covariance of the nine lens terms, and a factor of it for drawing from it. */
export interface LensUncertainty {
  readonly covariance: readonly (readonly number[])[];
  /** Lower triangular, of the same order; zero rows for terms that are not estimated. */
  readonly factor: readonly (readonly number[])[];
}

const [WIDTH, HEIGHT] = [4000, 3000];
/** Noise of a dot's centre when calibrating, px. */
const NOISE = 0.05;

/** The uncertainty that ten pictures of the A3 target, tilted to all sides, leave. */
export function lensUncertainty(random: Random): LensUncertainty {
  const lens: Lens = { fx: 4000, fy: 4000, cx: WIDTH / 2, cy: HEIGHT / 2, k1: -0.1, k2: 0, p1: 0, p2: 0, k3: 0 };
  const marks = marksOf(targetFor("a3", "dots"));
  const tilts = [[0, 0], [0.5, 0], [-0.5, 0], [0, 0.5], [0, -0.5], [0.35, 0.35], [-0.35, 0.35], [0.35, -0.35], [-0.35, -0.35], [0, 0]] as const;
  const views = tilts.map((tilt, i) => {
    const view = viewOf(lens, { x: 180, y: 110 }, tilt, 0.5 * i, 480 + 10 * i, [20 * Math.cos(2 * i), 15 * Math.sin(2 * i)]);
    return marks.flatMap((m) => {
      const q = project(view, m.x, m.y);
      const inside = q.x > 10 && q.y > 10 && q.x < WIDTH - 10 && q.y < HEIGHT - 10;
      return inside ? [{ x: m.x, y: m.y, u: q.x + NOISE * random.normal(), v: q.y + NOISE * random.normal() }] : [];
    });
  });
  const found = calibratePlanar(views, WIDTH, HEIGHT, ["fx", "fy", "cx", "cy", "k1", "k2", "p1", "p2"]);
  if (!found.ok) throw new Error(found.reason);
  return { covariance: found.covariance, factor: cholesky(found.covariance) };
}

/** The lens of a scene as a profile would have it: off by a draw from the calibration's own uncertainty. */
export function lensWithError(setup: CameraSetup, { factor }: LensUncertainty, random: Random): Lens {
  const draws = LENS_PARAMETERS.map(() => random.normal());
  const error = factor.map((row) => row.reduce((s, v, i) => s + v * draws[i], 0));
  const portrait = setup.height > setup.width;
  const real: Lens = {
    fx: setup.focal, fy: setup.focal, cx: (setup.width - 1) / 2 + setup.principal.x, cy: (setup.height - 1) / 2 + setup.principal.y, k3: 0, ...setup.lens,
  };
  // The covariance is that of a lying picture; standing, its axes change places.
  const order = portrait ? [1, 0, 3, 2, 4, 5, 7, 6, 8] : [0, 1, 2, 3, 4, 5, 6, 7, 8];
  return Object.fromEntries(LENS_PARAMETERS.map((name, i) => [name, real[name] + error[order[i]]])) as unknown as Lens;
}

function cholesky(c: readonly (readonly number[])[]): number[][] {
  const n = c.length;
  const l = Array.from({ length: n }, () => new Array<number>(n).fill(0));
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      const rest = c[i][j] - l[i].slice(0, j).reduce((s, v, k) => s + v * l[j][k], 0);
      l[i][j] = i === j ? Math.sqrt(Math.max(0, rest)) : l[j][j] > 0 ? rest / l[j][j] : 0;
    }
  }
  return l;
}
