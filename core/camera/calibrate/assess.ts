import type { Finding } from "../profile.ts";
import { DISTORTED, distortWithDerivatives, undistort } from "../lens.ts";
import type { Lens } from "../lens.ts";
import { levenbergMarquardt } from "../../geometry/levenbergMarquardt.ts";
import { observations, pack } from "./model.ts";
import type { Layout, TargetPoint } from "./model.ts";
import type { PlanarCalibration } from "./planar.ts";
import { rotationOf, tiltOf } from "./pose.ts";

const FEWEST_PICTURES = 6;
/** Degrees: below this a picture says little about the focal length (its error goes as 1/tan^2 of the tilt). */
const LEAST_TILT = 15;
const FEWEST_TILTED = 4;
/** Share of the picture's half width within which the points must come near each corner. */
const CORNER = 0.3;
/** Change of the focal length that counts as moved focus. */
const LEAST_MOVE = 0.002;

/** A picture of the set, as the findings call it. */
export interface Named {
  readonly name: string;
  readonly focalLength?: number;
}

/** What is wrong with the set of pictures itself, whatever the fit's residuals: sentences with what to do. */
export function assess(
  found: PlanarCalibration, views: readonly (readonly TargetPoint[])[], pictures: readonly Named[], width: number, height: number,
): Finding[] {
  return [
    ...pictureCount(views.length), ...tilts(found), ...corners(views, width, height), ...focus(found, views, pictures),
    ...residualSize(found, pictures), ...cornerUncertainty(found, width, height),
  ];
}

/** `poor` with any fault, `usable` with any weakness, else `good`. */
export function grade(findings: readonly Finding[]): "good" | "usable" | "poor" {
  if (findings.some((f) => f.level === "fault")) return "poor";
  return findings.some((f) => f.level === "weak") ? "usable" : "good";
}

function pictureCount(n: number): Finding[] {
  if (n >= FEWEST_PICTURES) return [];
  const message = `There ${n === 1 ? "is one usable picture" : `are only ${n} usable pictures`}; take at least ${FEWEST_PICTURES}, ten are better.`;
  return [{ level: n < 3 ? "fault" : "weak", code: "few-pictures", message }];
}

/** The focal length and the lens centre are told from the distance only by tilted targets, tilted to different sides. */
function tilts(found: PlanarCalibration): Finding[] {
  const tilted = found.poses.filter((p) => tiltOf(p) >= LEAST_TILT);
  const sides = new Set(tilted.map((p) => {
    const r = rotationOf(p.turn);
    return Math.floor((Math.atan2(r[5], r[2]) / (2 * Math.PI) + 1 + 1 / 8) * 4) % 4;
  }));
  if (tilted.length >= FEWEST_TILTED && sides.size >= 3) return [];
  const message = `${tilted.length} of ${found.poses.length} pictures are tilted by ${LEAST_TILT} degrees or more, to ${sides.size} side${sides.size === 1 ? "" : "s"}: `
    + "take some from the left, the right, above and below, about 30 degrees off.";
  return [{ level: tilted.length < 2 ? "fault" : "weak", code: "few-tilts", message }];
}

function corners(views: readonly (readonly TargetPoint[])[], width: number, height: number): Finding[] {
  const names = ["upper left", "upper right", "lower right", "lower left"];
  const missed = [[0, 0], [1, 0], [1, 1], [0, 1]].flatMap(([right, low], i) => {
    const near = views.flat().some((p) =>
      Math.abs(p.u - right * width) < (CORNER * width) / 2 && Math.abs(p.v - low * height) < (CORNER * height) / 2);
    return near ? [] : [names[i]];
  });
  if (missed.length === 0) return [];
  const message = `No picture has the target near the ${missed.join(", ")} corner${missed.length > 1 ? "s" : ""}: `
    + "the lens is only guessed there. Take pictures with the target reaching into each corner.";
  return [{ level: missed.length > 2 ? "fault" : "weak", code: "corners-not-covered", message }];
}

/**
 * Whether each picture, fitted alone with a free focal length, agrees with the common one. A lens that is refocused or
 * zoomed between pictures changes its focal length.
 */
function focus(found: PlanarCalibration, views: readonly (readonly TargetPoint[])[], pictures: readonly Named[]): Finding[] {
  const stated = pictures.map((p) => p.focalLength).filter((f) => f !== undefined);
  if (stated.length > 1 && Math.max(...stated) > 1.01 * Math.min(...stated)) {
    const message = `The pictures were taken at focal lengths from ${Math.min(...stated)} to ${Math.max(...stated)} mm: do not zoom between them.`;
    return [{ level: "fault", code: "moved-focus", message }];
  }
  const moved = pictures.flatMap((picture, i) => {
    const scale = focalScale(found, views[i], i);
    return scale && Math.abs(scale.value - 1) > Math.max(LEAST_MOVE, 4 * scale.u) ? [{ picture, percent: 100 * (scale.value - 1) }] : [];
  });
  if (moved.length === 0) return [];
  const worst = moved.reduce((a, b) => (Math.abs(b.percent) > Math.abs(a.percent) ? b : a));
  const message = `The focus moved between the pictures: in ${worst.picture.name} the focal length is ${Math.abs(worst.percent).toFixed(1)} % `
    + `${worst.percent > 0 ? "longer" : "shorter"} than in the set${moved.length > 1 ? ` (and in ${moved.length - 1} more)` : ""}. Lock the focus and take the set again.`;
  return [{ level: "weak", code: "moved-focus", message }];
}

/** Common factor on fx and fy that one picture alone asks for, with its standard uncertainty; null where it cannot tell. */
function focalScale(found: PlanarCalibration, points: readonly TargetPoint[], view: number): { value: number; u: number } | null {
  const layout: Layout = { terms: [], views: 1 };
  const evaluateAt = (lens: Lens) => observations(layout, lens, [points]);
  const start = Float64Array.from([1, ...pack(layout, found.lens, [found.poses[view]])]);
  const row = new Float64Array(7);
  const step = 1e-5;
  const fitted = levenbergMarquardt(start, (p, add) => {
    const at = (scale: number) => ({ ...found.lens, fx: found.lens.fx * scale, fy: found.lens.fy * scale });
    const pose = p.subarray(1);
    const ahead: number[] = [];
    evaluateAt(at(p[0] + step))(pose, (_, residual) => ahead.push(residual));
    let i = 0;
    evaluateAt(at(p[0]))(pose, (poseRow, residual, weight) => {
      row[0] = (residual - ahead[i++]) / step;
      row.set(poseRow, 1);
      add(row, residual, weight);
    });
  });
  if (!fitted.covariance || !fitted.converged) return null;
  const sigma = Math.sqrt(Math.max(fitted.cost / (fitted.rows - 7), found.cost / (found.rows - found.parameters)));
  return { value: fitted.parameters[0], u: sigma * Math.sqrt(fitted.covariance[0]) };
}

function residualSize(found: PlanarCalibration, pictures: readonly Named[]): Finding[] {
  const findings: Finding[] = [];
  if (found.rms > 1) {
    const message = `The points lie ${found.rms.toFixed(2)} px off on average: the target is not flat, the pictures are blurred, or the target file is not that of the print.`;
    findings.push({ level: "fault", code: "large-residuals", message });
  }
  const perView = found.residuals.map((r) => Math.sqrt((2 * r.reduce((s, v) => s + v * v, 0)) / r.length));
  const middle = [...perView].sort((a, b) => a - b)[perView.length >> 1];
  perView.forEach((rms, i) => {
    if (rms > 3 * middle && rms > 0.1) {
      const message = `${pictures[i].name} fits ${(rms / middle).toFixed(1)} times worse than the others (${rms.toFixed(2)} px): leave it out or take it again.`;
      findings.push({ level: "weak", code: "bad-picture", message });
    }
  });
  return findings;
}

/** How far the uncertain lens terms may move a point in the picture's corners, as far as a new view cannot take it up. */
function cornerUncertainty(found: PlanarCalibration, width: number, height: number): Finding[] {
  const u = Math.max(...[[0, 0], [width - 1, 0], [width - 1, height - 1], [0, height - 1]].map(([x, y]) => distortionUncertainty(found, x, y)));
  const limit = width / 4000;
  if (u <= limit) return [];
  const message = `In the picture's corners the lens is uncertain by ${u.toFixed(2)} px: take more pictures, with the target filling the corners.`;
  return [{ level: u > 4 * limit ? "fault" : "weak", code: "uncertain-corners", message }];
}

/** Standard uncertainty, px, of the distortion (k1 .. k3 with their covariance) at the seen point (u, v). */
function distortionUncertainty({ lens, covariance }: Pick<PlanarCalibration, "lens" | "covariance">, u: number, v: number): number {
  const ideal = undistort(lens, u, v);
  if (!ideal.ok) return Infinity;
  const d = new Float64Array(DISTORTED.length);
  distortWithDerivatives(lens, ideal.x, ideal.y, d);
  let variance = 0;
  for (let i = 4; i < 9; i++) {
    for (let j = 4; j < 9; j++) {
      variance += covariance[i][j] * (d[DISTORTED.xByLens + i] * d[DISTORTED.xByLens + j] + d[DISTORTED.yByLens + i] * d[DISTORTED.yByLens + j]);
    }
  }
  return Math.sqrt(Math.max(0, variance));
}
