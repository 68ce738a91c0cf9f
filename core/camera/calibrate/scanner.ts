import { fitSimilarity } from "../../geometry/fits.ts";
import { levenbergMarquardt } from "../../geometry/levenbergMarquardt.ts";
import type { Finding, ScannerProfile } from "../profile.ts";
import { SCANNER_PARAMETERS, onGlass } from "../scanner.ts";
import type { Scanner } from "../scanner.ts";
import { grade } from "./assess.ts";
import type { TargetPicture } from "./camera.ts";
import type { NoCalibration } from "./planar.ts";
import { residualMap } from "./residualMap.ts";

export interface ScannerCalibration {
  readonly ok: true;
  readonly profile: ScannerProfile;
}

const OWN = SCANNER_PARAMETERS.length;
/** Two further terms: the target's own height to width and squareness, free where it was laid in two directions. */
const TARGET = 2;

/**
 * A scanner profile from scans of a target, laid in two directions where its own proportions are not to be trusted: the unit's
 * terms stay with the glass while the target's turn with it. Residuals are formed on the glass and told in pixels.
 * @param measured whether the target's lengths were measured with a rule (else the printer's scale is in the profile).
 */
export function calibrateScanner(
  scans: readonly TargetPicture[], given: { readonly name: string; readonly date: string; readonly target: string }, measured: boolean,
): ScannerCalibration | NoCalibration {
  const used = scans.filter((s) => s.points.length >= 12);
  if (used.length === 0) return { ok: false, reason: "no scan shows the target" };
  const { width, height } = used[0];
  const odd = used.find((s) => s.width !== width || s.height !== height);
  if (odd) return { ok: false, reason: `${odd.name} is ${odd.width} x ${odd.height} pixels and ${used[0].name} ${width} x ${height}: scan the whole bed at one resolution` };

  const starts = used.map((scan) => poseOnGlass(scan));
  if (starts.some((s) => s === null)) return { ok: false, reason: "the target's points in a scan lie in one line" };
  const poses = starts.filter((s) => s !== null);
  const scale = poses.reduce((s, p) => s + p.scale, 0) / poses.length;
  const twoWays = directions(poses.map((p) => p.turn)) >= 2;
  const free = twoWays ? OWN + TARGET : OWN;
  const start = Float64Array.from([scale, scale, 0, 0, 0, 0, 0, ...(twoWays ? [0, 0] : []), ...poses.flatMap((p) => [p.turn, p.x / scale, p.y / scale])]);
  const n = start.length;
  const predictAll = (p: Float64Array): Float64Array => residualsOf(used, scannerAt(p, width, height), twoWays ? [p[OWN], p[OWN + 1]] : [0, 0], p.subarray(free), scale);
  const fitted = levenbergMarquardt(start, (p, add) => {
    const now = predictAll(p);
    const columns = Array.from(p, (value, i) => {
      const step = 1e-6 * Math.max(1e-2, Math.abs(value));
      const [plus, minus] = [1, -1].map((s) => predictAll(p.map((v, k) => (k === i ? v + s * step : v))));
      return plus.map((r, k) => (minus[k] - r) / (2 * step));
    });
    const row = new Float64Array(n);
    now.forEach((r, k) => {
      for (let i = 0; i < n; i++) row[i] = columns[i][k];
      add(row, r, 1);
    });
  }, { damping: 1e-3 });
  if (!fitted.covariance || !fitted.converged) return { ok: false, reason: `the scans do not determine the scanner's terms: ${fitted.reason ?? "no convergence"}` };
  const covariance = fitted.covariance;
  const sigma2 = fitted.cost / (fitted.rows - n);
  const { pxPerMm, squareness, bow, run } = scannerAt(fitted.parameters, width, height);
  const rms = Math.sqrt((2 * fitted.cost) / fitted.rows);
  const findings = assessScans(scans, used, twoWays, measured, rms);
  const all = predictAll(fitted.parameters);
  let at = 0;
  const residuals = used.map((s) => all.subarray(at, (at += 2 * s.points.length)));
  return {
    ok: true,
    profile: {
      format: "kerfmark.camera/1", kind: "scanner", ...given, exif: { make: used[0].exif?.make, model: used[0].exif?.model }, picture: { width, height },
      pictures: used.length, points: used.reduce((s, u) => s + u.points.length, 0), rms, pxPerMm, squareness, bow, run,
      covariance: Array.from({ length: OWN }, (_, i) => Array.from({ length: OWN }, (_, j) => sigma2 * covariance[i * n + j])),
      residuals: residualMap(used.map((u) => u.points), residuals, width, height), verdict: { grade: grade(findings), findings },
    },
  };
}

function scannerAt(p: Float64Array, width: number, height: number): Scanner {
  return { width, height, pxPerMm: { x: p[0], y: p[1] }, squareness: p[2], bow: { x: p[3], y: p[4] }, run: { x: p[5], y: p[6] } };
}

/** Where the glass shows the dots minus where target and pose put them, in px; y down on the glass, up on the target. */
function residualsOf(
  scans: readonly TargetPicture[], scanner: Scanner, [height, square]: readonly number[], poses: Float64Array, scale: number,
): Float64Array {
  const out: number[] = [];
  scans.forEach(({ points }, i) => {
    const [turn, x, y] = poses.subarray(3 * i, 3 * i + 3);
    const [c, s] = [Math.cos(turn), Math.sin(turn)];
    for (const p of points) {
      const g = onGlass(scanner, { x: p.u, y: p.v });
      const px = p.x + (square / 1000) * p.y;
      const py = -p.y * (1 + height / 1000);
      out.push(scale * (g.x - (c * px - s * py + x)), scale * (g.y - (s * px + c * py + y)));
    }
  });
  return Float64Array.from(out);
}

/** Turn (rad), scale (px/mm) and shift (px from the middle) of a target on the glass; null where its points are in line. */
function poseOnGlass(scan: TargetPicture): { turn: number; scale: number; x: number; y: number } | null {
  const fit = fitSimilarity<"print", "picture">(scan.points.map((p) => ({
    from: { x: p.x, y: -p.y }, to: { x: p.u - (scan.width - 1) / 2, y: p.v - (scan.height - 1) / 2 },
  })));
  if (!fit.ok) return null;
  const [a, b, x, y] = fit.parameters;
  return { turn: Math.atan2(b, a), scale: Math.hypot(a, b), x, y };
}

/** 2 where two of the turns differ by a quarter turn, within 30 degrees; else 1. */
function directions(turns: readonly number[]): 1 | 2 {
  return turns.some((a) => turns.some((b) => Math.abs(Math.sin(a - b)) > Math.cos(Math.PI / 6))) ? 2 : 1;
}

function assessScans(all: readonly TargetPicture[], used: readonly TargetPicture[], twoWays: boolean, measured: boolean, rms: number): Finding[] {
  const findings: Finding[] = [];
  for (const s of all) {
    if (!used.includes(s)) findings.push({ level: "note", code: "few-points", message: `${s.name} does not show the target and was left out.` });
  }
  if (!twoWays) {
    findings.push({ level: "weak", code: "one-direction", message: "The target lies the same way in all scans: the printer's own scale and squareness cannot be told from the scanner's. Scan it again turned by a quarter turn." });
  }
  if (!measured) {
    findings.push({ level: "weak", code: "not-measured", message: "The target file does not give the rules' measured length: the printer's scale is in the profile. Measure both rules with a steel rule and enter them under \"measured\"." });
  }
  if (rms > 1) findings.push({ level: "fault", code: "not-flat", message: `The points of the target lie ${rms.toFixed(2)} px off on average: the target did not lie flat on the glass, or the target file is not that of the print.` });
  return findings;
}
