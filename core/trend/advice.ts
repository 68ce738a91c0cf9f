import type { Correction } from "../check/record.ts";
import { correction } from "../judge/correction.ts";
import type { Job } from "../job/schema.ts";
import { fitLine, residualDeviation, slopeInterval } from "./line.ts";
import type { Message } from "./messages.ts";
import { trend, type Trend } from "./trend.ts";

/** A value of the run whose drift chart and level are looked at; print frame, mm or mm/m. */
export type AdvisedValue = "offsetX" | "offsetY" | "rotation" | "skew" | "scaleX" | "scaleY";

/** How one value of the run stands now. */
export interface Shift {
  readonly value: AdvisedValue;
  /** How far the level has moved from zero error: mean of the rows since the last change, and at the end of a drift. */
  readonly estimate: number;
  /** 95 % half-width of the estimate. */
  readonly half: number;
  /** What moved it last. */
  readonly pattern: "step" | "drift" | "level";
  /** Whether it is still on its way. */
  readonly drifting: boolean;
  /** Data row at which it began; null where it was so from the start. */
  readonly since: number | null;
}

/** What to do, and why; sentences come from messages.ts by key, so that they can be told in other languages. */
export interface Advice {
  readonly action: "correct" | "wait" | "look";
  /** In the cutter frame; only with `correct`. */
  readonly correction: Correction | null;
  /** Sentences: the action, each movement of the correction spelled out, then causes with what to check. */
  readonly messages: readonly Message[];
  readonly shifts: readonly Shift[];
}

/** Words for the cutter's axes at this shop's table, chosen per job. */
export interface AxisWords {
  readonly plusX: string;
  readonly minusX: string;
  readonly plusY: string;
  readonly minusY: string;
}

export const DEFAULT_AXES: AxisWords = { plusX: "to the right", minusX: "to the left", plusY: "away from you", minusY: "towards you" };

/** What advice says beyond the figures. */
export interface AdviceOptions {
  readonly axes?: AxisWords;
  /** How a data row (from 1) is named to people; default: by its number. */
  readonly named?: { readonly at: "row" | "sheet"; of(row: number): string };
  /** Events of the run, `at` the first data row after each, with the word that it is told by. */
  readonly events?: readonly { readonly at: number; readonly kind: string }[];
}

/** Rows at the end of a run within which a signal of the drift chart counts as present. */
const RECENT = 5;
/** A level that was off from the start is worth correcting from this share of its tolerance. */
const WORTH = 0.25;
/** Rows at the end of a run by which its level is told, where none changed it on the way. */
const COURSE = 40;
/** Sheets from which a level can be told from chance. */
const LEAST_LEVEL = 10;
/** A step and an event this many rows apart are told together. */
const BESIDE = 3;

/**
 * Advice for a run: a correction only where the drift chart says that the process has moved and the new level is away from
 * zero beyond doubt; adjusting a stable process on every reading makes it worse. The size is the estimated shift, not the last
 * reading. Skew has no setting and sheet-to-sheet scatter cannot be corrected: there a cause is looked for.
 */
export function advise(
  job: Pick<Job, "cutFrom" | "flip" | "tolerance">,
  trends: Readonly<Partial<Record<AdvisedValue, { readonly trend: Trend; readonly values: readonly number[] }>>>,
  { axes = DEFAULT_AXES, named = { at: "row", of: String }, events = [] }: AdviceOptions = {},
): Advice {
  const shifts: Shift[] = [];
  const scattered: AdvisedValue[] = [];
  for (const [value, run] of Object.entries(trends) as [AdvisedValue, { trend: Trend; values: readonly number[] }][]) {
    const shift = shiftOf(value, run.trend, run.values) ?? levelOf(value, run.trend, run.values, limitOf(value, job));
    if (shift) shifts.push(shift);
    else if (isScattered(run.trend, limitOf(value, job))) scattered.push(value);
  }
  const settable = shifts.filter((s) => s.value !== "skew");
  const reasons = shifts.map((shift) => reasonOf(shift, named));
  const causes = [...shifts.flatMap((shift) => causesOf(shift, named, events)), ...scattered.map((value): Message => ({ key: "cause.scatter", with: { value } }))];
  if (settable.length > 0) {
    const size = (value: AdvisedValue): number => settable.find((s) => s.value === value)?.estimate ?? 0;
    const undo = correction(job, {
      x: size("offsetX"), y: size("offsetY"), rotation: size("rotation"), skew: 0, scaleX: size("scaleX"), scaleY: size("scaleY"),
    });
    return { action: "correct", correction: undo, shifts, messages: [{ key: "action.correct" }, ...reasons, ...movements(undo, axes), ...causes] };
  }
  if (causes.length > 0) return { action: "look", correction: null, shifts, messages: [{ key: "action.look" }, ...reasons, ...causes] };
  return { action: "wait", correction: null, shifts, messages: [{ key: "action.wait" }, { key: "reason.quiet" }] };
}

/** Trends of the values of a run, ready for `advise`. */
export function trendsOf(values: Readonly<Partial<Record<AdvisedValue, readonly number[]>>>, order?: readonly number[]) {
  return Object.fromEntries(
    Object.entries(values).map(([column, series]) => [column, { trend: trend({ column, values: series, order }), values: series }]),
  );
}

/** Null where the drift chart is quiet at the end of the run, or the new level may as well be zero. */
function shiftOf(value: AdvisedValue, t: Trend, values: readonly number[]): Shift | null {
  const signals = t.signals.filter((s) => s.chart === "drift");
  if (!t.sigmaWithin || !signals.some((s) => s.at > t.n - RECENT)) return null;
  const change = t.changes.at(-1);
  const first = Math.max((change?.at ?? 1) - 1, values.length - COURSE);
  const rows = values.flatMap((v, i) => (i >= first && !Number.isNaN(v) ? [i] : []));
  if (rows.length === 0) return null;
  const now = levelNow(rows, rows.map((i) => values[i]), t.sigmaWithin);
  if (Math.abs(now.estimate) <= now.half) return null;
  const began = signals.findLast((s, i) => i === 0 || signals[i - 1].at < s.at - RECENT);
  return { value, ...now, pattern: change ? "step" : now.drifting ? "drift" : "level", since: change?.at ?? began?.at ?? null };
}

/** Where the level is at the end: on the line through the rows where they drift, else their mean; with its 95 % half-width. */
function levelNow(rows: readonly number[], values: readonly number[], sigma: number): Pick<Shift, "estimate" | "half" | "drifting"> {
  const line = fitLine(rows, values);
  if (line) {
    const { low, high } = slopeInterval(line, 0.99);
    const ahead = rows[rows.length - 1] - line.xMean;
    const half = 2 * residualDeviation(line) * Math.sqrt(1 / line.n + (ahead * ahead) / line.sxx);
    if (low * high > 0) return { estimate: line.yMean + line.slope * ahead, half, drifting: true };
  }
  return { estimate: values.reduce((sum, v) => sum + v, 0) / values.length, half: (2 * sigma) / Math.sqrt(values.length), drifting: false };
}

/** A value that has kept its level and has been off by it from the start: a set-up that nobody corrected. Null where it is off by little, or by chance. */
function levelOf(value: AdvisedValue, t: Trend, values: readonly number[], limit: number | undefined): Shift | null {
  if (limit === undefined || !t.sigmaWithin || t.changes.length > 0) return null;
  const measured = values.filter((v) => !Number.isNaN(v));
  if (measured.length < LEAST_LEVEL) return null;
  const estimate = measured.reduce((sum, v) => sum + v, 0) / measured.length;
  const half = (2 * (t.sigmaOverall ?? t.sigmaWithin)) / Math.sqrt(measured.length);
  return Math.abs(estimate) > WORTH * limit && Math.abs(estimate) > 1.5 * half ? { value, estimate, half, pattern: "level", drifting: false, since: null } : null;
}

/** Whether scatter alone takes up so much of the tolerance that Pp is below 1. */
function isScattered(t: Trend, limit: number | undefined): boolean {
  return limit !== undefined && t.sigmaWithin !== undefined && limit / (3 * t.sigmaWithin) < 1;
}

function limitOf(value: AdvisedValue, { tolerance }: Pick<Job, "tolerance">): number | undefined {
  if (value === "offsetX" || value === "offsetY") return tolerance.offset;
  return value === "scaleX" || value === "scaleY" ? tolerance.scale : tolerance[value];
}

/** A mark's residual is an outlier where it is above this many times the median of the others, and above LEAST_RESIDUAL. */
const OUTLIER_FACTOR = 5;
/** Residuals below this are noise of the picture, mm. */
const LEAST_RESIDUAL = 0.05;

/** The one mark that disagrees with the others on a sheet, as a cause to look at; null where none or several do. */
export function outlierOf(marks: readonly { readonly id: string; readonly residual?: number }[]): Message | null {
  const found = marks.flatMap((m) => (m.residual === undefined ? [] : [{ id: m.id, residual: m.residual }])).sort((a, b) => b.residual - a.residual);
  if (found.length < 4) return null;
  const limit = Math.max(LEAST_RESIDUAL, OUTLIER_FACTOR * found[1 + ((found.length - 1) >> 1)].residual);
  return found[0].residual > limit && found[1].residual <= limit ? { key: "cause.outlier", with: { value: found[0].id } } : null;
}

function movements(undo: Correction, axes: AxisWords): Message[] {
  const messages: Message[] = [];
  if (undo.x !== 0) messages.push({ key: "move", with: { size: size(undo.x), unit: "mm", direction: undo.x > 0 ? axes.plusX : axes.minusX, axis: "X", sign: sign(undo.x) } });
  if (undo.y !== 0) messages.push({ key: "move", with: { size: size(undo.y), unit: "mm", direction: undo.y > 0 ? axes.plusY : axes.minusY, axis: "Y", sign: sign(undo.y) } });
  if (undo.rotation !== 0) messages.push({ key: undo.rotation > 0 ? "turn.counterclockwise" : "turn.clockwise", with: { size: size(undo.rotation), sign: sign(undo.rotation) } });
  for (const [axis, v] of [["X", undo.scaleX], ["Y", undo.scaleY]] as const) {
    if (v !== 0) messages.push({ key: v > 0 ? "stretch" : "shrink", with: { size: size(v), axis, sign: sign(v) } });
  }
  return messages;
}

const size = (v: number): string => Math.abs(v).toFixed(2);
const sign = (v: number): string => (v > 0 ? "+" : "-");

type Named = NonNullable<AdviceOptions["named"]>;

function reasonOf({ value, estimate, half, drifting, since }: Shift, named: Named): Message {
  const figures = { value, size: Math.abs(estimate).toFixed(3), half: half.toFixed(3), unit: value === "offsetX" || value === "offsetY" ? "mm" : "mm/m" };
  if (since === null) return { key: "reason.level", with: figures };
  return { key: drifting ? "reason.drift" : "reason.shift", with: { ...figures, at: named.at, since: named.of(since) } };
}

function causesOf(shift: Shift, named: Named, events: NonNullable<AdviceOptions["events"]>): Message[] {
  const { value, pattern, drifting, since } = shift;
  const causes: Message[] = [];
  if (pattern === "step" && since !== null) {
    const place = { value, at: named.at, since: named.of(since) };
    const beside = events.filter((e) => Math.abs(e.at - since) <= BESIDE).sort((a, b) => Math.abs(a.at - since) - Math.abs(b.at - since));
    causes.push(beside.length > 0 ? { key: "cause.event", with: { ...place, event: beside[0].kind } } : { key: "cause.step", with: place });
  }
  if (drifting) causes.push({ key: "cause.drift", with: { value } });
  // What a lasting error of this value points to; a step or a drift of a shift is told already.
  if (value === "rotation") causes.push({ key: "cause.turn", with: { value } });
  else if (value === "skew") causes.push({ key: "cause.skew", with: { value } });
  else if (value === "scaleX" || value === "scaleY") causes.push({ key: "cause.scale", with: { value } });
  else if (causes.length === 0) causes.push({ key: "cause.shift", with: { value } });
  return causes;
}
