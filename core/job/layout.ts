import type { PrintPoint } from "../geometry/frames.ts";
import { isInLine } from "./checks.ts";
import { markSize } from "./markSize.ts";
import type { Job, Mark } from "./schema.ts";

/**
 * Whether the marks of a job can be told apart: a layout that lies on itself after a turn, in the mirror or after a shift
 * leaves two ways to lay the print over the picture, and nothing in the marks says which is right.
 */
export interface Ambiguity {
  readonly kind: "turn" | "mirror" | "shift";
  /** Turn counter-clockwise, degrees in (0, 360), for `turn`; direction of the mirror's axis, degrees in [0, 180), for `mirror`; 0 for `shift`. */
  readonly degrees: number;
  /** For `shift`, mm; (0, 0) for the others. */
  readonly shift: PrintPoint;
  /** How many of the job's marks agree, and how many there are. A shift leaves some over: they might be taken as not found. */
  readonly agree: number;
  readonly of: number;
}

/** Marks count as lying on each other when nearer than the larger of these: mm, and a share of the layout's size. */
const NEAR = 1.5;
const NEAR_SHARE = 0.01;
/** A shift that leaves no more than this share of the marks over is told. */
const LEFT_OVER = 0.34;

/** An isometry: x' = c x - m s y + tx, y' = s x + m c y + ty, with m = -1 in the mirror. */
interface Isometry {
  readonly c: number;
  readonly s: number;
  readonly m: 1 | -1;
  readonly tx: number;
  readonly ty: number;
}

/** All ambiguities of a job's mark layout; none where a code is on the sheet, which says which way up it is by itself. */
export function layoutAmbiguities(job: Pick<Job, "marks" | "codes">): Ambiguity[] {
  const { marks } = job;
  if (job.codes.length > 0 || marks.length < 3 || isInLine(marks)) return [];
  const near = Math.max(NEAR, NEAR_SHARE * extent(marks));
  const found: Ambiguity[] = [];
  for (const iso of candidates(marks, near)) {
    const pairs = agreement(marks, iso, near);
    const moved = pairs.some(([i, j]) => i !== j);
    const ambiguity = moved && named(marks, iso, pairs, near);
    if (ambiguity && !found.some((f) => same(f, ambiguity, near))) found.push(ambiguity);
  }
  return found.sort((a, b) => a.kind.localeCompare(b.kind) || a.degrees - b.degrees);
}

/** A sentence for the job's reader. */
export function describeAmbiguity(a: Ambiguity): string {
  const what =
    a.kind === "turn" ? `after a turn by ${a.degrees.toFixed(0)} degrees` : a.kind === "mirror" ? `in the mirror (axis at ${a.degrees.toFixed(0)} degrees)` : `shifted by ${a.shift.x.toFixed(1)}, ${a.shift.y.toFixed(1)} mm (${a.agree} of ${a.of} marks)`;
  return `The marks look the same ${what}: change a mark's size, shape or place, or add a code, so that a picture can be told apart.`;
}

function extent(marks: readonly Mark[]): number {
  const xs = marks.map((m) => m.x);
  const ys = marks.map((m) => m.y);
  return Math.hypot(Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys));
}

/** Marks of different shape, tone or size (by more than 15 %) are told apart in any usable picture. A turn or mirror that changes how a checker or a cross lies is not looked at. */
function alike(a: Mark, b: Mark): boolean {
  return a.shape === b.shape && (a.tone ?? b.tone) === (b.tone ?? a.tone) && Math.abs(Math.log(markSize(a) / markSize(b))) < 0.15;
}

/** Every isometry that carries some pair of marks onto some alike pair: from each mark and the one farthest from it. */
function* candidates(marks: readonly Mark[], near: number): Generator<Isometry> {
  for (const a of marks) {
    const b = marks.reduce((far, m) => (Math.hypot(m.x - a.x, m.y - a.y) > Math.hypot(far.x - a.x, far.y - a.y) ? m : far));
    const span = Math.hypot(b.x - a.x, b.y - a.y);
    for (const p of marks) {
      if (!alike(a, p)) continue;
      for (const q of marks) {
        if (!alike(b, q) || p === q || Math.abs(Math.hypot(q.x - p.x, q.y - p.y) - span) > 2 * near) continue;
        for (const m of [1, -1] as const) {
          const angle = Math.atan2(q.y - p.y, q.x - p.x) - m * Math.atan2(b.y - a.y, b.x - a.x);
          const c = Math.cos(angle);
          const s = Math.sin(angle);
          yield { c, s, m, tx: (p.x + q.x - (c * (a.x + b.x) - m * s * (a.y + b.y))) / 2, ty: (p.y + q.y - (s * (a.x + b.x) + m * c * (a.y + b.y))) / 2 };
        }
      }
    }
  }
}

/** Which mark lies on which after the move: pairs of indices. */
function agreement(marks: readonly Mark[], { c, s, m, tx, ty }: Isometry, near: number): Array<readonly [number, number]> {
  return marks.flatMap((a, i) => {
    const x = c * a.x - m * s * a.y + tx;
    const y = s * a.x + m * c * a.y + ty;
    const j = marks.findIndex((b) => alike(a, b) && Math.hypot(b.x - x, b.y - y) <= near);
    return j >= 0 ? [[i, j] as const] : [];
  });
}

function named(marks: readonly Mark[], iso: Isometry, pairs: ReadonlyArray<readonly [number, number]>, near: number): Ambiguity | null {
  const whole = { agree: pairs.length, of: marks.length, shift: { x: 0, y: 0 } };
  const angle = (Math.atan2(iso.s, iso.c) * 180) / Math.PI;
  const still = iso.m === 1 && Math.abs(Math.atan2(iso.s, iso.c)) * extent(marks) < 2 * near;
  if (still) {
    const shift = { x: mean(pairs.map(([i, j]) => marks[j].x - marks[i].x)), y: mean(pairs.map(([i, j]) => marks[j].y - marks[i].y)) };
    const enough = pairs.length >= 3 && marks.length - pairs.length <= LEFT_OVER * marks.length && !isInLine(pairs.map(([i]) => marks[i]));
    return enough && Math.hypot(shift.x, shift.y) > 2 * near ? { ...whole, kind: "shift", degrees: 0, shift } : null;
  }
  if (pairs.length < marks.length) return null;
  if (iso.m === 1) return { ...whole, kind: "turn", degrees: (angle + 360) % 360 };
  return { ...whole, kind: "mirror", degrees: (((angle / 2) % 180) + 180) % 180 };
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0) / values.length;
}

function same(a: Ambiguity, b: Ambiguity, near: number): boolean {
  const period = a.kind === "mirror" ? 180 : 360;
  const apart = Math.abs(a.degrees - b.degrees) % period;
  return a.kind === b.kind && Math.min(apart, period - apart) < 5 && Math.hypot(a.shift.x - b.shift.x, a.shift.y - b.shift.y) <= 2 * near;
}
