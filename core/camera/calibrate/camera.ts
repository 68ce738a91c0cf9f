import type { CameraProfile, Finding } from "../profile.ts";
import type { PictureExif } from "../../image/picture.ts";
import { isTurnedSideways, toSensor } from "../orientation.ts";
import { assess, grade } from "./assess.ts";
import { calibrateChoosing } from "./choose.ts";
import type { ModelTrial } from "./choose.ts";
import { predict } from "./model.ts";
import type { TargetPoint } from "./model.ts";
import type { NoCalibration, PlanarCalibration } from "./planar.ts";
import { residualMap } from "./residualMap.ts";

/** The target's points as one picture shows them (the picture as decoded, its EXIF orientation applied). */
export interface TargetPicture {
  readonly name: string;
  readonly width: number;
  readonly height: number;
  readonly exif?: PictureExif;
  readonly points: readonly TargetPoint[];
}

export interface CameraCalibration {
  readonly ok: true;
  readonly profile: CameraProfile;
  readonly trials: readonly ModelTrial[];
  /** Points left out because they lay too far from where the others put them. */
  readonly dropped: number;
}

/** Fewer points say too little of a picture's pose. */
const FEWEST_POINTS = 12;
/** Residuals beyond this many robust standard deviations are blunders (a speck taken for a dot, a corner half hidden). */
const BLUNDER = 6;

/**
 * A camera profile from pictures of a target.
 * @param date day of the calibration, ISO 8601 (core has no clock).
 */
export function calibrateCamera(
  pictures: readonly TargetPicture[], given: { readonly name: string; readonly date: string; readonly target: string },
): CameraCalibration | NoCalibration {
  const { used, findings } = usable(pictures);
  if (used.length < 2) return { ok: false, reason: `only ${used.length} of ${pictures.length} pictures can be used; at least 2 are needed, 10 are better` };
  const { width, height } = sensorSize(used[0]);
  const all = used.map(inSensor);
  const settled = calibrateWithoutBlunders(all, width, height);
  if (!settled.ok) return settled;
  const { found, views } = settled;
  const dropped = all.flat().length - views.flat().length;
  findings.push(...assess(found, views, used.map((p) => ({ name: p.name, focalLength: p.exif?.focalLength })), width, height));
  const { terms, trials, lens, covariance, rms, residuals } = found;
  const profile: CameraProfile = {
    format: "kerfmark.camera/1", kind: "camera", ...given, exif: commonExif(used), picture: { width, height },
    pictures: used.length, points: views.flat().length, rms, lens, estimated: [...terms], covariance,
    residuals: residualMap(views, residuals, width, height), verdict: { grade: grade(findings), findings },
  };
  return { ok: true, profile, trials, dropped };
}

/** The pictures that go together: enough points, the size and camera of most; what was left out is said. */
function usable(pictures: readonly TargetPicture[]): { used: TargetPicture[]; findings: Finding[] } {
  const findings: Finding[] = [];
  const seen = pictures.filter((p) => {
    if (p.points.length >= FEWEST_POINTS) return true;
    findings.push({ level: "note", code: "few-points", message: `${p.name} shows only ${p.points.length} points of the target and was left out.` });
    return false;
  });
  const kind = (p: TargetPicture) => {
    const { width, height } = sensorSize(p);
    return `${width} x ${height} pixels${p.exif?.model ? ` by ${[p.exif.make, p.exif.model].filter(Boolean).join(" ")}` : ""}`;
  };
  const counts = new Map<string, number>();
  for (const p of seen) counts.set(kind(p), (counts.get(kind(p)) ?? 0) + 1);
  const [most] = [...counts].sort((a, b) => b[1] - a[1])[0] ?? [""];
  const used = seen.filter((p) => kind(p) === most);
  for (const p of seen) {
    if (kind(p) !== most) findings.push({ level: "weak", code: "mixed-pictures", message: `${p.name} has ${kind(p)}, the others ${most}: it was left out.` });
  }
  return { used, findings };
}

/** Size of the sensor's own picture. Without a stated orientation an upright picture counts as one turned a quarter to the right. */
function sensorSize(p: TargetPicture): { width: number; height: number; orientation: number } {
  const orientation = p.exif?.orientation ?? (p.height > p.width ? 6 : 1);
  return isTurnedSideways(orientation) ? { width: p.height, height: p.width, orientation } : { width: p.width, height: p.height, orientation };
}

function inSensor(p: TargetPicture): TargetPoint[] {
  const { width, height, orientation } = sensorSize(p);
  return p.points.map((point) => {
    const q = toSensor(orientation, width, height, { x: point.u, y: point.v });
    return { ...point, u: q.x, v: q.y };
  });
}

type Views = readonly (readonly TargetPoint[])[];
type Chosen = Exclude<ReturnType<typeof calibrateChoosing>, NoCalibration>;

/** Calibrates, leaves blunders out and judges every point again by the better fit, until nothing changes. */
function calibrateWithoutBlunders(
  all: Views, width: number, height: number,
): { readonly ok: true; readonly found: Chosen; readonly views: Views } | NoCalibration {
  let views = all;
  for (let round = 0; ; round++) {
    const found = calibrateChoosing(views, width, height);
    if (!found.ok) return found;
    const kept = withoutBlunders(found, all);
    const same = kept.every((points, i) => points.length === views[i].length && points.every((p, k) => p === views[i][k]));
    if (same || round === 4 || kept.some((points) => points.length < FEWEST_POINTS)) return { ok: true, found, views };
    views = kept;
  }
}

function withoutBlunders({ lens, poses }: PlanarCalibration, views: Views): TargetPoint[][] {
  const distances = views.map((points, i) => points.map((p) => {
    const q = predict(lens, poses[i], p.x, p.y);
    return Math.hypot(p.u - q.u, p.v - q.v);
  }));
  const sorted = distances.flat().sort((a, b) => a - b);
  // The median distance of a circular normal error is 1.1774 sigma.
  const sigma = sorted[sorted.length >> 1] / 1.1774;
  return views.map((points, v) => points.filter((_, i) => distances[v][i] <= BLUNDER * sigma + 1e-9));
}

/** What all pictures that say so agree on. */
function commonExif(pictures: readonly TargetPicture[]): CameraProfile["exif"] {
  const keys = ["make", "model", "lensModel", "focalLength", "focalLength35"] as const;
  return Object.fromEntries(keys.flatMap((key) => {
    const values = new Set(pictures.map((p) => p.exif?.[key]).filter((v) => v !== undefined));
    return values.size === 1 ? [[key, [...values][0]]] : [];
  }));
}
