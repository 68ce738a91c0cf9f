import type { Measured } from "../../../core/check/record.ts";
import type { Row } from "../../../core/sample/scenarios.ts";
import type { TrialResult } from "./accuracyTrial.ts";

export const QUANTITIES = ["offset", "rotation", "skew", "scale", "worst"] as const;
export type Quantity = (typeof QUANTITIES)[number];
export const unitOf = (q: Quantity): string => (q === "offset" || q === "worst" ? "mm" : "mm/m");

/** What each row must reach: 95th percentile of the errors (offset and worst mm, the others mm/m), and the share that may be refused. */
export const GOALS: Readonly<Record<Exclude<Row, "refusal">, { readonly p95: Readonly<Record<Quantity, number>>; readonly refused: number }>> = {
  scan: goal(0.007, 0.03, 0.01, 0),
  photo: goal(0.015, 0.05, 0.025, 0),
  lens: goal(0.03, 0.15, 0.06, 0),
  clutter: goal(0.03, 0.15, 0.06, 0.03),
  hard: goal(0.04, 0.2, 0.08, 0.05),
};

/** Skew is held to the limit of rotation. */
function goal(offset: number, turn: number, worst: number, refused: number) {
  return { p95: { offset, rotation: turn, skew: turn, scale: turn, worst }, refused };
}

/** Errors of one measured picture against its truth, each with its stated U. */
export interface Scored {
  readonly errors: Readonly<Record<Quantity, { readonly error: number; readonly U: number }>>;
  /** What shows that marks or cuts were taken for others; empty when nothing. */
  readonly mismatches: readonly string[];
  /** Verdicts other than `unsure` that are not the truth's, with the conformity that was claimed. */
  readonly wrongVerdicts: readonly string[];
}

/** A value further off than this was measured on the wrong thing, mm; a mark, pixels. */
const FAR_OFF = 0.5;
const FAR_OFF_PX = 3;

export function score({ truth }: TrialResult, record: Measured): Scored {
  const sx = record.scale.x - truth.scale.x;
  const sy = record.scale.y - truth.scale.y;
  const errors = {
    offset: { error: Math.hypot(record.offset.x - truth.offset.x, record.offset.y - truth.offset.y), U: record.offset.U },
    rotation: { error: Math.abs(record.rotation.value - truth.rotation), U: record.rotation.U },
    skew: { error: Math.abs(record.skew.value - truth.skew), U: record.skew.U },
    scale: { error: Math.max(Math.abs(sx), Math.abs(sy)), U: record.scale.U },
    // Two stretches may be all but equally far off to opposite sides: the size is what is judged.
    worst: { error: Math.abs(Math.abs(record.worst.value) - Math.abs(truth.worst.value)), U: record.worst.U },
  };
  return { errors, mismatches: mismatchesOf(truth, record, Math.max(errors.offset.error, errors.worst.error)), wrongVerdicts: wrongVerdictsOf(truth, record) };
}

function mismatchesOf(truth: TrialResult["truth"], record: Measured, off: number): string[] {
  const found: string[] = [];
  if (off > FAR_OFF) found.push(`off by ${off.toFixed(2)} mm`);
  if (record.sheet !== undefined && record.sheet !== truth.sheet) found.push(`sheet ${record.sheet}, is ${truth.sheet}`);
  if (record.view.mirrored !== truth.view.mirrored) found.push("mirrored the wrong way");
  const turn = Math.abs(((record.view.turn - truth.view.turn + 540) % 360) - 180);
  if (turn > 3) found.push(`turn ${record.view.turn.toFixed(1)}, is ${truth.view.turn.toFixed(1)}`);
  for (const { id, x, y } of markErrors(truth, record)) if (Math.hypot(x, y) > FAR_OFF_PX) found.push(`${id} ${Math.hypot(x, y).toFixed(0)} px beside its place`);
  return found;
}

/** Seen less true places of the marks that were found, pixels. */
export function markErrors(truth: TrialResult["truth"], record: Measured): { id: string; x: number; y: number }[] {
  return record.marks.flatMap(({ id, found, x, y }) => {
    const at = truth.marks.find((m) => m.id === id);
    return found && x !== undefined && y !== undefined && at ? [{ id, x: x - at.x, y: y - at.y }] : [];
  });
}

function wrongVerdictsOf(truth: TrialResult["truth"], record: Measured): string[] {
  const wrong = record.judged.flatMap((j) => {
    const true_ = truth.judged.find((t) => t.what === j.what);
    if (!true_ || j.verdict === "unsure" || j.verdict === true_.verdict) return [];
    return [`${j.what} said ${j.verdict} (${j.value.toFixed(3)}, U ${j.U.toFixed(3)}, limit ${j.limit}, conformity ${j.conformity.toFixed(3)}), is ${true_.verdict} (${true_.value.toFixed(3)})`];
  });
  if (wrong.length === 0 && record.verdict !== "unsure" && record.verdict !== truth.verdict) wrong.push(`sheet said ${record.verdict}, is ${truth.verdict}`);
  return wrong;
}

/** The p-quantile of some values, by linear interpolation; NaN of none. */
export function quantile(values: readonly number[], p: number): number {
  if (values.length === 0) return Number.NaN;
  const sorted = values.toSorted((a, b) => a - b);
  const at = p * (sorted.length - 1);
  const low = Math.floor(at);
  return sorted[low] + (at - low) * (sorted[Math.min(low + 1, sorted.length - 1)] - sorted[low]);
}
