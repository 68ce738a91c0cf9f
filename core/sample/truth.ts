import { flattenCut } from "../job/paths.ts";
import { stationsAlong, stretches } from "../job/walk.ts";
import { framedArea } from "./framing.ts";
import { imagingOf } from "./imaging.ts";
import { derivative, forward, inverse } from "./layerMap.ts";
import { datumOf, type Job } from "../job/schema.ts";
import type { Scene } from "./scene.ts";
import { trueVerdicts, type TrueValues, type TrueVerdict, type WorstPlace } from "./verdict.ts";

/** What a measurement of the scene's picture should find. Frames, units and signs as in the check record. */
export interface Truth extends TrueValues {
  readonly job: string;
  readonly sheet: string;
  /** Each value that the job limits, and the sheet's verdict from all of them. */
  readonly judged: readonly TrueVerdict[];
  readonly verdict: "in" | "out";
  readonly marks: readonly { readonly id: string; readonly x: number; readonly y: number }[];
  readonly view: { readonly turn: number; readonly mirrored: boolean; readonly pxPerMm: number };
}

/** T: where the print says that a cut belongs -> where it is, as ruled by the print: print^-1 after cut. Print frame, mm. */
export function cutToPrint(scene: Scene, x: number, y: number): { x: number; y: number } {
  const board = forward(scene.cut, x, y);
  return inverse(scene.print, board.x, board.y);
}

/** Derivative of `cutToPrint` by the chain rule, [[a, b], [c, d]] row by row. */
function cutToPrintDerivative(scene: Scene, x: number, y: number): readonly [number, number, number, number] {
  const there = cutToPrint(scene, x, y);
  const [a, b, c, d] = derivative(scene.cut, x, y);
  const [p, q, r, s] = derivative(scene.print, there.x, there.y);
  const k = p * s - q * r;
  return [(s * a - q * c) / k, (s * b - q * d) / k, (p * c - r * a) / k, (p * d - r * b) / k];
}

/** The true values of a scene. */
export function truthOf(scene: Scene): Truth {
  const { job } = scene;
  const datum = datumOf(job);
  const at = cutToPrint(scene, datum.x, datum.y);
  const [a, b, c, d] = cutToPrintDerivative(scene, datum.x, datum.y);
  const [x, y] = [at.x - datum.x, at.y - datum.y];
  const values = {
    offset: { x, y, length: Math.hypot(x, y) },
    rotation: 1000 * Math.atan2(c, a),
    skew: 1000 * (Math.atan2(c, a) + Math.PI / 2 - Math.atan2(d, b)),
    scale: { x: 1000 * (Math.hypot(a, c) - 1), y: 1000 * (Math.hypot(b, d) - 1) },
    worst: worstStretch(scene, "cut") ?? { value: 0, feature: "", x: 0, y: 0 },
    crease: worstStretch(scene, "crease"),
  };
  return { job: job.id, sheet: scene.sheet, ...values, ...trueVerdicts(values, job.tolerance), ...seen(scene) };
}

/** The stretch of all features of a kind with the largest mean deviation along the normal. */
function worstStretch(scene: Scene, kind: Job["cuts"][number]["kind"]): WorstPlace | null {
  let worst: WorstPlace | null = null;
  for (const { value, feature, x, y, kind: k } of trueStretches(scene)) {
    if (k === kind && (worst === null || Math.abs(value) > Math.abs(worst.value))) worst = { value, feature, x, y };
  }
  return worst;
}

/** Points to a stretch. */
const POINTS = 50;

/** The mean deviation of every stretch along its normal. */
export function trueStretches(scene: Scene): (WorstPlace & { kind: Job["cuts"][number]["kind"] })[] {
  return scene.job.cuts.flatMap((cut) => flattenCut(cut, 0.002).flatMap((subpath) => stretches(subpath).map((stretch) => {
    let sum = 0;
    for (const p of stationsAlong(subpath, stretch, POINTS)) {
      const t = cutToPrint(scene, p.x, p.y);
      sum += (t.x - p.x) * p.nx + (t.y - p.y) * p.ny;
    }
    return { value: sum / POINTS, feature: cut.id, kind: cut.kind, ...stretch.midpoint };
  })));
}

/** Where the printed marks appear, and how the print lies in the picture at the datum. */
function seen(scene: Scene): Pick<Truth, "marks" | "view"> {
  const { job } = scene;
  const imaging = imagingOf(scene.imaging, framedArea(job));
  const place = (x: number, y: number): { x: number; y: number } => {
    const board = forward(scene.print, x, y);
    return imaging.toPicture(board.x, board.y);
  };
  const area = framedArea(job);
  const centre = { x: (area.x0 + area.x1) / 2, y: (area.y0 + area.y1) / 2 };
  const [o, ex, ey] = [place(centre.x, centre.y), place(centre.x + 0.5, centre.y), place(centre.x, centre.y + 0.5)];
  const up = { x: ey.x - o.x, y: -(ey.y - o.y) };
  const right = { x: ex.x - o.x, y: -(ex.y - o.y) };
  const turned = right.x * up.y - right.y * up.x;
  return {
    marks: job.marks.map((m) => ({ id: m.id, ...place(m.x, m.y) })),
    view: { turn: (Math.atan2(-up.x, up.y) * 180) / Math.PI, mirrored: turned < 0, pxPerMm: Math.sqrt(Math.abs(turned)) / 0.5 },
  };
}
