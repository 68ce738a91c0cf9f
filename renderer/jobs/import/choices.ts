import type { Meaning } from "../../../core/job/import/drawing.ts";
import type { DraftAsk, DrawingView } from "../worker/protocol.ts";

/** All that the reader decides about a drawing before it becomes a job. */
export interface Choices {
  readonly meanings: readonly Meaning[];
  /** Candidates taken for marks, by their places in the list. */
  readonly marks: ReadonlySet<number>;
  readonly sheet: { readonly width: number; readonly height: number };
  readonly shift: { readonly x: number; readonly y: number };
  readonly id: string;
  readonly name: string;
  readonly piece: string;
  readonly join: number;
}

/** Margins up to this share of what is drawn are taken for the sheet's own; beyond, the drawing's origin is no corner of the sheet. */
const MARGIN = 0.4;

/** What is proposed for a drawing; `piece` is what one copy is called. */
export function firstChoices(view: DrawingView, file: string, piece: string): Choices {
  const name = file.replace(/\.[^.]*$/, "");
  return {
    meanings: view.proposed, marks: marksOf(view, view.proposed), ...placeOf(view),
    id: name.slice(0, 64) || "JOB-1", name, piece, join: 0.02,
  };
}

/** Candidates in the groups that mean marks. */
export function marksOf(view: DrawingView, meanings: readonly Meaning[]): ReadonlySet<number> {
  return new Set(view.candidates.flatMap((c, i) => (meanings[c.group] === "mark" ? [i] : [])));
}

/** The sheet is the page; without one it is put round the drawing, with the same margin at both sides where the origin looks like its corner. */
export function placeOf({ page, extent: [left, bottom, right, top] }: Pick<DrawingView, "page" | "extent">): Pick<Choices, "sheet" | "shift"> {
  if (page) return { sheet: { width: tidy(page.width), height: tidy(page.height) }, shift: { x: 0, y: 0 } };
  const side = (low: number, high: number) => {
    const isCorner = low >= 0 && low <= MARGIN * (high - low);
    return isCorner ? { size: tidy(Math.max(high + low, 1)), shift: 0 } : { size: tidy(Math.max(high - low, 1)), shift: tidy(-low) };
  };
  const [x, y] = [side(left, right), side(bottom, top)];
  return { sheet: { width: x.size, height: y.size }, shift: { x: x.shift, y: y.shift } };
}

/** A group's new meaning; its candidates for marks come and go with it. */
export function withMeaning(choices: Choices, view: DrawingView, group: number, meaning: Meaning): Choices {
  const meanings = choices.meanings.map((m, i) => (i === group ? meaning : m));
  const marks = new Set(choices.marks);
  for (const [i, c] of view.candidates.entries()) {
    if (c.group !== group) continue;
    if (meaning === "mark") marks.add(i);
    else marks.delete(i);
  }
  return { ...choices, meanings, marks };
}

/** A candidate taken for a mark where it was not, and let go where it was. */
export function toggledMark(choices: Choices, candidate: number): Choices {
  const marks = new Set(choices.marks);
  if (!marks.delete(candidate)) marks.add(candidate);
  return { ...choices, marks };
}

/** The choices as the worker is asked by them; what was left empty gets its usual name. */
export function draftAsk({ meanings, marks, sheet, shift, id, name, piece, join }: Choices): DraftAsk {
  return { meanings, marks: [...marks], sheet, shift, id: id.trim() || "JOB-1", name, piece: piece.trim() || "piece", join };
}

function tidy(v: number): number {
  return Math.round(v * 1e4) / 1e4;
}
