import { layoutAmbiguities } from "../../../core/job/layout.ts";
import { markSize } from "../../../core/job/markSize.ts";
import type { Code, Mark } from "../../../core/job/schema.ts";
import type { DraftJob } from "../../../electron/host/library/drafts.ts";

/** A list with its i-th entry changed. */
export function withAt<T>(list: readonly T[], i: number, change: (one: T) => T): T[] {
  return list.map((one, k) => (k === i ? change(one) : one));
}

/** The list without the entry at i. */
export function withoutAt<T>(list: readonly T[], i: number): T[] {
  return list.filter((_, k) => k !== i);
}

/** The first id of a row that no other has: M1, M2, ... */
export function freeId(start: string, taken: readonly { readonly id: string }[]): string {
  let n = taken.length + 1;
  while (taken.some((t) => t.id === `${start}${n}`)) n++;
  return `${start}${n}`;
}

/** A mark in another shape, about as large as before. */
export function reshaped(mark: Mark, shape: Mark["shape"]): Mark {
  const across = markSize(mark);
  const { id, x, y, tone } = mark;
  const place = { id, x, y, ...(tone && { tone }) };
  if (shape === "dot" || shape === "checker") return { ...place, shape, diameter: across };
  if (shape === "ring") return { ...place, shape, outer: across, inner: tidy(across * 0.6) };
  return shape === "cross" ? { ...place, shape, size: across, stroke: tidy(across / 8) } : { ...place, shape, size: across };
}

/** Places that are tried for a new mark before one is taken that looks the same turned or mirrored. */
const TRIED = 16;

/** A new mark along the sheet's edge: where there is the most room from all marks and codes, and so that the layout can still be told apart. */
export function newMark({ sheet, marks, codes }: DraftJob): Mark {
  const inset = Math.min(20, sheet.width / 10, sheet.height / 10);
  const at = (i: number, n: number, whole: number) => tidy(inset + (i / n) * (whole - 2 * inset));
  const places = Array.from({ length: 9 * 9 }, (_, k) => ({ x: at(k % 9, 8, sheet.width), y: at(Math.floor(k / 9), 8, sheet.height) })).filter((p) => isEdge(p, sheet, inset));
  const others = [...marks, ...codes];
  const room = (p: { x: number; y: number }) => Math.min(Infinity, ...others.map((o) => Math.hypot(o.x - p.x, o.y - p.y)));
  const best = places.sort((a, b) => room(b) - room(a)).slice(0, TRIED).map((at): Mark => ({ id: freeId("M", marks), shape: "dot", ...at, diameter: 6 }));
  return best.find((mark) => layoutAmbiguities({ marks: [...marks, mark], codes }).length === 0) ?? best[0];
}

function isEdge(p: { x: number; y: number }, sheet: DraftJob["sheet"], inset: number): boolean {
  return p.x <= inset + 0.01 || p.y <= inset + 0.01 || p.x >= sheet.width - inset - 0.01 || p.y >= sheet.height - inset - 0.01;
}

/** A new code near the lower-left corner. */
export function newCode({ sheet }: DraftJob): Code {
  return { symbology: "qr", x: tidy(Math.min(60, sheet.width / 4)), y: tidy(Math.min(20, sheet.height / 4)), size: 18, payload: "job={job};sheet={sheet}" };
}

/** To a tenth of a micrometre. */
export function tidy(v: number): number {
  return Math.round(v * 1e4) / 1e4;
}
